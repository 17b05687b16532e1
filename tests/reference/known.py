"""Whether what a report says it knows of its goals is of one mind."""

from fractions import Fraction as F

PPM = 10**6
# Shares are printed to a millionth, gaps to a ten-thousandth of a percent.
HALF = F(1, 2 * PPM)
CODES = {"proven-best": 0, "within-gap": 0, "feasible": 4, "no-plan": 1, "none-found": 4}


def number(text):
    """Of the report, exactly as printed."""
    return F(str(text))


def known(plan, gap, gives):
    """Whether values, gaps, status and bounds are of one mind."""
    out = []
    for goal, (name, give) in zip(plan["goals"], gives):
        value, reached, bound = (number(goal[k]) for k in ("value", "reached", "bound"))
        sign = -1 if name == "wants" else 1
        step = 0 if name != "even" else HALF
        if sign * reached < sign * bound - step * 2:
            out.append(f"{name}: {goal['reached']} was reached, better than its bound {goal['bound']}")
        if sign * value > sign * reached + abs(reached) * F(give, PPM) + 2 * step:
            out.append(f"{name}: {goal['value']}, further from {goal['reached']} than it may give")
        if sign * value < sign * reached:
            out.append(f"{name}: {goal['value']}, better than {goal['reached']}, which is told as reached")
        apart = abs(reached - bound)
        percent = 100 * apart / max(abs(reached), abs(bound)) if apart else F(0)
        printed = number(goal["gap_percent"])
        # Both shares are rounded, so is what parts them.
        loose = F(1, 10**4) + (400 * HALF / max(abs(reached), HALF) if step else 0)
        told_apart = printed == 0 or apart > 0 or step
        if abs(percent - printed) > loose or not told_apart:
            out.append(f"{name}: a gap of {goal['gap_percent']} %, and {float(percent):.6f} % is between")
    gaps = [number(goal["gap_percent"]) for goal in plan["goals"]]
    word = "feasible"
    if max(gaps) == 0:
        word = "proven-best"
    elif max(gaps) <= gap:
        word = "within-gap"
    if plan["status"] != word:
        out.append(f"told {plan['status']}, and the gaps say {word}")
    return out
