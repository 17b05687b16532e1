"""The best plans of a move by CP-SAT, goal after goal, and what a report says beside them."""

from fractions import Fraction as F
from math import floor

from ortools.sat.python import cp_model

from audit import audit
from known import CODES, HALF, number
from model import Model

STATUS = {cp_model.OPTIMAL: "optimal", cp_model.FEASIBLE: "feasible"}
STATUS |= {cp_model.INFEASIBLE: "infeasible", cp_model.UNKNOWN: "unknown"}
FOUND = ("optimal", "feasible")


class Disagreement(Exception):
    pass


class Ladder:
    """One model of a move, on which goals are pinned one after the other."""

    def __init__(self, move, seconds, workers):
        self.move, self.model, self.aims = move, Model(move), {}
        self.solver = cp_model.CpSolver()
        self.solver.parameters.max_time_in_seconds = seconds
        self.solver.parameters.num_workers = workers
        self.solver.parameters.random_seed = 1

    def once(self, presolve=True):
        # The probing of OR-Tools 9.15 has called a model infeasible that has
        # a plan (seed 4237 of `whole.py`; 9.14 and no presolve both find it).
        self.solver.parameters.cp_model_probing_level = 0
        self.solver.parameters.cp_model_presolve = presolve
        status = self.solver.solve(self.model.cp)
        if status == cp_model.MODEL_INVALID:
            raise RuntimeError(self.model.cp.validate())
        return STATUS[status]

    def solve(self, presolve=True):
        """What is infeasible has to be so in two ways; a plan is a plan."""
        status = self.once(presolve)
        if status == "infeasible" and presolve:
            again = self.once(presolve=False)
            return again if again in FOUND else status
        return status

    def exists(self):
        """Whether there is any plan that keeps what is pinned."""
        self.model.cp.clear_objective()
        return self.solve()

    def hint(self, counts):
        self.model.cp.clear_hints()
        for key, column in (self.model.alone | self.model.pairs).items():
            self.model.cp.add_hint(column, counts.get(key, 0))

    def aim(self, name):
        if name not in self.aims:
            self.aims[name] = self.model.objective(name)
        return self.aims[name]

    def best(self, name, presolve=True):
        """(status, value) of a goal that is counted, or in mg."""
        aim, cp = self.aim(name), self.model.cp
        scale = self.model.step if name == "lightest" else 1
        if isinstance(aim, int):
            status = self.exists()
            return status, aim * scale
        cp.maximize(aim) if name == "wants" else cp.minimize(aim)
        status = self.solve(presolve)
        if status == "infeasible":
            return status, None
        return status, round(self.solver.objective_value) * scale if status in FOUND else None

    def below(self, share):
        """Whether there is a plan with a peak share strictly under this."""
        cp = self.model.cp
        cp.clear_objective()
        only = cp.new_bool_var("below")
        self.model.cap_shares(share, strictly=True, only=only)
        domain = cp.proto.variables[only.index].domain
        domain[0] = 1  # of its two ends
        status = self.solve()
        # Afterwards the caps bind nothing.
        domain[0], domain[1] = 0, 0
        return status

    def pin(self, name, reached, give):
        self.model.pin(name, reached, give, None if name == "even" else self.aim(name))


def units(move, plan):
    """The plan's counts, by the columns of the model."""
    out = {}
    for carrier in plan["carriers"]:
        c = carrier["id"]
        for line in carrier["items"]:
            i = line["id"]
            if "with" not in line:
                out[i, c, line["way"]] = out.get((i, c, line["way"]), 0) + line["count"]
                continue
            other, item = line["with"], move["items"][i]
            if item["even"]:
                out[(i, *sorted([c, other]))] = 1
            elif round(number(line["mass_g"]) * 1000) == item["ends"][0]:
                out[i, c, other] = 1
    return out


def peak(ladder, plan, goal, give):
    """(what `even` reached, whether that is exact): it is printed to a millionth.

    Where nothing may give, it is the peak of the plan. Else it is the smallest
    share that a load can have and that is printed so: what holds of a plan
    under a larger pin holds under this.
    """
    model, printed = ladder.model, number(goal["reached"])
    loads = {c["id"]: (number(c["load_g"]), number(c["limit_g"])) for c in plan["carriers"]}
    exact = max((F(*loads[c]) for c in model.evened() if loads[c][0] > 0), default=F(0))
    if give == 0 and abs(exact - printed) <= HALF:
        return exact, True
    could = {F(0)} if printed == 0 else set()
    for c in model.evened():
        burden, limit = ladder.move["burden"][c], model.carrier(c)["limit"]
        low, high = ((printed + off) * limit - burden for off in (-HALF, HALF))
        for steps in range(max(0, -floor(-low / model.step)), floor(high / model.step) + 1):
            could.add(F(burden + steps * model.step, limit))
    if not could:
        raise Disagreement(f"even: no load makes a share of {goal['reached']}")
    return min(could), len(could) == 1


def hold_even(ladder, plan, goal, give):
    """Nothing under the bound; nothing under the value where that is proven."""
    limit, gap = number(goal["bound"]) - HALF, number(goal["gap_percent"])
    if gap == 0:
        limit = max(limit, peak(ladder, plan, goal, give)[0])
    status = ladder.below(limit)
    if status in FOUND:
        raise Disagreement(f"even: bound {goal['bound']}, and the reference has a plan below it")
    word = f" (gap {float(gap):.2f} %)" if gap else ""
    word += "" if status == "infeasible" else " (not proven by the reference)"
    return f"even {goal['reached']}{word}"


def hold(ladder, goal, exact):
    """A goal that is counted, or a mass, beside the best there is."""
    name, sign = goal["name"], -1 if goal["name"] == "wants" else 1
    scale = F(1, 1000) if name == "lightest" else F(1)
    ours, stated = number(goal["reached"]), number(goal["bound"])
    status, value = ladder.best(name)
    if status == "optimal" and exact and sign * ours < sign * value * scale:
        status, value = ladder.best(name, presolve=False)
    if status == "infeasible":
        if exact:
            raise Disagreement(f"{name}: the reference has no plan with what the goals before reached")
        return f"{name} not compared"
    if value is not None and sign * value * scale < sign * stated:
        raise Disagreement(f"{name}: bound {goal['bound']}, and the reference has {float(value * scale)}")
    if status != "optimal":
        return f"{name} {goal['reached']} (not proven by the reference)"
    if exact and sign * ours < sign * value * scale:
        raise Disagreement(f"{name}: {goal['reached']}, and the best of the reference is {float(value * scale)}")
    best = "" if ours == value * scale else f" (best {float(value * scale):g})"
    return f"{name} {goal['reached']}{best}"


def climb(ladder, plan):
    """Goal after goal beside the best there is; what to say of each."""
    words, exact = [], True
    for goal, (name, give) in zip(plan["goals"], ladder.move["goals"]):
        if name == "even":
            words.append(hold_even(ladder, plan, goal, give))
            reached, sure = peak(ladder, plan, goal, give)
            exact = exact and sure
        else:
            words.append(hold(ladder, goal, exact))
            reached = int(number(goal["reached"]) * (1000 if name == "lightest" else 1))
        ladder.pin(name, reached, give)
    return words


def compare(ladder, plan, gap):
    """What to say of a plan, or a Disagreement."""
    move = ladder.move
    if faults := audit(move, plan, gap):
        raise Disagreement("; ".join(faults))
    ladder.hint(units(move, plan))
    return f"{plan['status']}: {', '.join(climb(ladder, plan))}"


def judge(move, plan, code, gap="0.5%", seconds=20, workers=1):
    """What to say of an answer to a move that is right; else a Disagreement."""
    if code != CODES.get(plan["status"]):
        raise Disagreement(f"exit code {code} with {plan['status']}")
    ladder = Ladder(move, seconds, workers)
    if plan["goals"]:
        return compare(ladder, plan, gap)
    status = ladder.exists()
    if plan["status"] == "no-plan" and status in FOUND:
        raise Disagreement(f"the reference has a plan; told: {plan['reason']['text']}")
    if plan["status"] not in ("no-plan", "none-found"):
        raise Disagreement(f"{plan['status']} without a plan")
    known = {"infeasible": "", "unknown": " (not proven by the reference)"}
    return f"{plan['status']}{known.get(status, ', and the reference has a plan')}"
