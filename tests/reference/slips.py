"""Whether the reference finds what is wrong: answers that are right, each with one slip.

    python tests/reference/slips.py [--moves N] [--binary PATH]

Small moves are split; every slip of the table that can be made is made in a copy of
each answer that passes, and must be told as a disagreement. A line for each slip; the
exit status is 1 if one was not found, or could not be made at all.
"""

import argparse
import copy
import sys
import tempfile
from pathlib import Path

import check
import reading
import whole
from optimum import Disagreement, Ladder, climb, judge


def lines(plan):
    """(carrier, line) of what somebody carries alone."""
    return [(c, line) for c in plan["carriers"] for line in c["items"] if "with" not in line]


def more(plan):
    for c, line in lines(plan)[:1]:
        line["count"] += 1
        return plan


def elsewhere(plan):
    """A line on another carrier of the party, where it is printed by the same way."""
    for c, line in lines(plan):
        for other in plan["carriers"]:
            same = (other["party"], other["kind"]) == (c["party"], c["kind"])
            if other is not c and same and not other["rides_in"]:
                c["items"].remove(line)
                other["items"].append(line)
                return plan


def number(key, by):
    """A number of the first carrier that takes kit."""

    def slip(plan):
        for c in plan["carriers"]:
            if c["items"]:
                c[key] += by
                return plan

    return slip


def left(plan):
    if plan["left"]:
        plan["left"][0]["count"] += 1
        return plan


def goal(key, by, of=None):
    """A goal that is better than it is."""

    def slip(plan):
        for g in plan["goals"]:
            if g["name"] == of or of is None and g["name"] != "even":
                g[key] += by if g["name"] == "wants" else -by
                return plan

    return slip


def proven(name, by):
    """Worse than the best possible, and told as proven best."""

    def slip(plan):
        for g in plan["goals"]:
            if g["name"] == name and g["gap_percent"] == 0 and g["value"] == g["reached"] and g["value"] > 0:
                worse = g["value"] + (-by if name == "wants" else by)
                g |= {"value": worse, "reached": worse, "bound": worse}
                if name == "even":
                    # Its exact value is read off the loads.
                    for c in plan["carriers"]:
                        c["load_g"] = round(c["load_g"] + by * c["limit_g"], 3)
                return plan

    return slip


def supply(plan):
    for s in plan["supplies"]:
        s["demand"] += 1
        s["margin"] -= 1
        return plan


def told(key, value):
    def slip(plan):
        plan[key] = value
        return plan

    return slip


def none(plan):
    return plan | {"status": "no-plan", "goals": [], "reason": {"text": "a slip"}}


SLIPS = {
    "a thing more": more,
    "a thing on somebody else": elsewhere,
    "a load a milligram off": number("load_g", 0.001),
    "a bulk a milliliter off": number("bulk_ml", 1),
    "a usable limit off": number("usable_g", -0.001),
    "a thing more is left": left,
    "a value better than it is": goal("value", 1),
    "even better than it is": goal("value", 0.001, "even"),
    "reached better than it is": goal("reached", 1),
    "a demand one off": supply,
    "the status of another answer": told("status", "within-gap"),
    "no plan, where there is one": none,
}

# The audit would find these by what the plan has; the model has to find them too.
CLAIMS = {
    "wants short of the best, told as proven": proven("wants", 1),
    "lightest over the best, told as proven": proven("lightest", 0.001),
    "even over the best, told as proven": proven("even", 0.001),
    "hands over the best, told as proven": proven("hands", 1),
    "keeper over the best, told as proven": proven("keeper", 1),
}


def main():
    args = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    args.add_argument("--moves", type=int, default=100)
    args.add_argument("--binary", default=check.binary())
    args = args.parse_args()
    every = SLIPS | CLAIMS
    made, missed = dict.fromkeys(every, 0), dict.fromkeys(every, 0)
    path = Path(tempfile.mkdtemp()) / "whole.move.yaml"
    for seed in range(args.moves):
        path.write_text(whole.move(seed), encoding="utf-8")
        move = reading.move(path)
        code, plan = check.run(args.binary, path, "0.5%", seconds=2)
        if plan["status"] != "proven-best" or not found_well(move, plan, code):
            continue
        for name, slip in every.items():
            wrong = slip(copy.deepcopy(plan))
            if wrong is not None:
                made[name] += 1
                how = climbed_well if name in CLAIMS else found_well
                missed[name] += how(move, wrong, 1 if slip is none else code)
    for name in every:
        word = "FAIL" if missed[name] or not made[name] else "ok  "
        print(f"{word}  {name}: {missed[name]} of {made[name]} not found")
    sys.exit(1 if any(missed.values()) or not all(made.values()) else 0)


def found_well(move, plan, code):
    try:
        judge(move, plan, code)
    except Disagreement:
        return False
    return True


def climbed_well(move, plan, _):
    try:
        climb(Ladder(move, 20, 1), plan)
    except Disagreement:
        return False
    return True


if __name__ == "__main__":
    main()
