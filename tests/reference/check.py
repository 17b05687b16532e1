"""Holds `tumpline split` against CP-SAT, move by move and goal by goal.

    pip install -r tests/reference/requirements.txt
    cargo build
    python tests/reference/check.py

The reference reads the same files with its own reader and builds its own
model: it shares nothing with the tool but the documents. For every move:

- no plan exists there if and only if none exists here;
- the plan keeps every limit, need and rule of the reference, and each goal is
  worth what the tool says;
- no plan passes the tool's bound on a goal, the goals before held at what the
  tool reached; and what it reached is within the gap it states.

A line for each move; the last line is `N passed, N failed`.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from fractions import Fraction as F
from pathlib import Path

from ortools.sat.python import cp_model

import generate
import reading
from model import Model

ROOT = Path(__file__).resolve().parents[2]
SECONDS = 20
# Shares are printed to a millionth.
HALF = F(1, 2 * 10**6)
WORKERS = 8
STATUS = {cp_model.OPTIMAL: "optimal", cp_model.FEASIBLE: "feasible"}
STATUS |= {cp_model.INFEASIBLE: "infeasible", cp_model.UNKNOWN: "unknown"}


class Disagreement(Exception):
    pass


def number(text):
    """Of the report, exactly as printed."""
    return F(str(text))


def solve(model, aim=None, up=False, hint=None):
    """(status, value or None, bound or None)"""
    if aim is not None:
        model.cp.maximize(aim) if up else model.cp.minimize(aim)
    for key, value in (hint or {}).items():
        model.cp.add_hint((model.alone | model.pairs)[key], value)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = SECONDS
    solver.parameters.num_workers = WORKERS
    solver.parameters.random_seed = 1
    status = solver.solve(model.cp)
    if status == cp_model.MODEL_INVALID:
        raise RuntimeError(model.cp.validate())
    name = STATUS[status]
    if aim is None:
        return name, None, None
    found = name in ("optimal", "feasible")
    value = round(solver.objective_value) if found else None
    bound = None if name == "infeasible" else solver.best_objective_bound
    return name, value, bound


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


def audit(move, plan):
    """Whether the plan keeps everything and is worth what the report says."""
    model = Model(move)
    counts = units(move, plan)
    columns = model.alone | model.pairs
    unknown = [key for key in counts if key not in columns]
    if unknown:
        raise Disagreement(f"the plan has {unknown[0]}, which may not be")
    for key, column in columns.items():
        model.cp.add(column == counts.get(key, 0))
    for goal in plan["goals"]:
        value = number(goal["value"])
        if goal["name"] == "even":
            model.cap_shares(value + HALF)
        elif goal["name"] == "wants":
            # Columns of wants may be smaller than what is there.
            model.cp.add(model.objective("wants") >= int(value))
        elif goal["name"] == "lightest":
            model.cp.add(model.objective("lightest") * model.step == int(value * 1000))
        else:
            model.at_most(model.objective(goal["name"]), int(value))
            model.at_most(int(value) - model.objective(goal["name"]), 0)
    status, _, _ = solve(model)
    if status == "infeasible":
        raise Disagreement("the plan does not keep the reference's limits, needs, rules or values")
    return counts


def pinned(move, plan, k):
    """A model with the goals before the k-th held at what was reached."""
    model = Model(move)
    for goal, (name, give) in zip(plan["goals"][:k], move["goals"]):
        reached = number(goal["reached"])
        if name == "even":
            reached = peak(model, plan, goal, give)
        elif name == "lightest":
            reached = int(reached * 1000)
        else:
            reached = int(reached)
        model.pin(name, reached, give)
    return model


def peak(model, plan, goal, give):
    """What `even` reached: exactly, or else a millionth's half to the better."""
    printed = number(goal["reached"])
    loads = {c["id"]: (number(c["load_g"]), number(c["limit_g"])) for c in plan["carriers"]}
    shares = [F(*loads[c]) for c in model.evened() if loads[c][0] > 0]
    exact = max(shares, default=F(0))
    if give == 0 and abs(exact - printed) <= HALF:
        return exact
    return printed - HALF


def hold_even(move, plan, k, goal):
    """Nothing under the bound; nothing under the value where that is proven."""
    model = pinned(move, plan, k)
    limit = number(goal["bound"]) - HALF
    if number(goal["gap_percent"]) == 0:
        limit = max(limit, peak(model, plan, goal, move["goals"][k][1]))
    model.cap_shares(limit, strictly=True)
    status, _, _ = solve(model)
    if status in ("optimal", "feasible"):
        raise Disagreement(f"even: bound {goal['bound']}, and the reference has a plan below it")
    gap = number(goal["gap_percent"])
    word = f" (gap {float(gap):.2f} %)" if gap else ""
    word += "" if status == "infeasible" else " (not proven by the reference)"
    return f"even {goal['reached']}{word}"


def hold(move, plan, k, goal, counts):
    name, up = goal["name"], goal["name"] == "wants"
    if name == "even":
        return hold_even(move, plan, k, goal)
    model = pinned(move, plan, k)
    aim = model.objective(name)
    scale = F(model.step, 1000) if name == "lightest" else F(1)
    if isinstance(aim, int):
        status, value, bound = "optimal", aim, aim
    else:
        status, value, bound = solve(model, aim, up, counts)
    ours, stated = number(goal["reached"]), number(goal["bound"])
    if status == "infeasible":
        # Only where the pin on `even`, printed to a millionth, cut all off.
        return f"{name} not compared"
    sign = -1 if up else 1
    if value is not None and sign * value * scale < sign * stated:
        better = float(value * scale)
        raise Disagreement(f"{name}: bound {goal['bound']}, and the reference has {better}")
    best = value if status == "optimal" else bound
    gap = abs(ours - best * scale) / max(ours, best * scale, 1) * 100 if best is not None else 0
    over = sign * ours > sign * best * scale if best is not None else False
    if status == "optimal" and over and gap > number(goal["gap_percent"]) + F(1, 10**4):
        raise Disagreement(f"{name}: {goal['reached']}, and the best is {float(best * scale)}")
    words = f"{name} {goal['reached']}"
    if status == "optimal" and over:
        words += f" (best {float(best * scale):g})"
    elif status != "optimal":
        words += " (not proven by the reference)"
    return words


def stated(plan, gap):
    """Whether the status follows from the gaps."""
    gaps = [number(goal["gap_percent"]) for goal in plan["goals"]]
    word = "feasible"
    if max(gaps) == 0:
        word = "proven-best"
    elif max(gaps) <= number(gap.rstrip("%")):
        word = "within-gap"
    if plan["status"] != word:
        raise Disagreement(f"told {plan['status']}, and the gaps say {word}")


def run(binary, path, seconds, gap):
    args = [binary, "split", str(path), "--format", "json", "--gap", gap, "--quiet"]
    args += ["--time", f"{seconds}s"]
    done = subprocess.run(args, capture_output=True, text=True)
    if done.returncode not in (0, 1, 4):
        raise Disagreement(f"exit code {done.returncode}: {done.stderr.strip()}")
    return json.loads(done.stdout)


def check(binary, path, seconds, gap):
    """What to say of a move that passes."""
    plan = run(binary, path, seconds, gap)
    move = reading.move(path)
    if not plan["goals"]:
        status, _, _ = solve(Model(move))
        if plan["status"] == "no-plan" and status in ("optimal", "feasible"):
            raise Disagreement(f"the reference has a plan; told: {plan['reason']['text']}")
        if plan["status"] == "none-found" and status in ("optimal", "feasible"):
            raise Disagreement("none found, and the reference has a plan")
        known = {"infeasible": "", "unknown": " (not proven by the reference)"}[status]
        return f"{plan['status']}{known}"
    stated(plan, gap)
    counts = audit(move, plan)
    words = [hold(move, plan, k, goal, counts) for k, goal in enumerate(plan["goals"])]
    return f"{plan['status']}: {', '.join(words)}"


def binary():
    built = [ROOT / "target" / kind / "tumpline" for kind in ("release", "debug")]
    built = [path for path in built if path.exists()]
    return str(max(built, key=os.path.getmtime)) if built else "tumpline"


def main():
    args = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    args.add_argument("moves", nargs="*", help="move orders; without, all kits and made ones")
    args.add_argument("--binary", default=binary())
    args.add_argument("--made", type=int, default=30, help="how many moves to make")
    args.add_argument("--first", type=int, default=1, help="the first seed")
    args.add_argument("--keep", help="a folder for the moves that are made")
    args.add_argument("--time", type=int, default=10, help="seconds for each split")
    args.add_argument("--gap", default="0.5%", help="the gap to ask for")
    args = args.parse_args()
    folder = Path(args.keep or tempfile.mkdtemp())
    folder.mkdir(parents=True, exist_ok=True)
    moves = [Path(m) for m in args.moves]
    if not moves:
        moves = sorted((ROOT / "kits").glob("*/*.move.yaml"))
        for seed in range(args.first, args.first + args.made):
            moves.append(folder / f"made-{seed}.move.yaml")
            moves[-1].write_text(generate.move(seed), encoding="utf-8")
    passed = failed = 0
    for path in moves:
        start = time.monotonic()
        try:
            words, passed = "ok    " + check(args.binary, path, args.time, args.gap), passed + 1
        except Disagreement as e:
            words, failed = f"FAIL  {e}", failed + 1
        print(f"{path.name.removesuffix('.move.yaml'):<16} {words}", end="")
        print(f"  [{time.monotonic() - start:.1f} s]", flush=True)
    print(f"{passed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
