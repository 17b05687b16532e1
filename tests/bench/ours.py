"""Runs `tumpline split` as its users do, and reads what it answers."""

import json
import re
import statistics
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

FOUND = re.compile(r"^ *[0-9.]+ s  (\w+) +found by .* at ([0-9.]+) s, bound by", re.M)
IN_ALL = re.compile(r"^ *([0-9.]+) s  in all$", re.M)
LAUNCH = Path(__file__).resolve().parent / "launch.py"

# Of few things, one more than the bound is many percent: not held against a gap.
COUNTED = ["wants", "lightest", "even"]
PLANS = {"proven-best": 0, "within-gap": 0, "feasible": 4, "no-plan": 1, "none-found": 4}


@dataclass
class Run:
    status: str
    value: float | None  # of the first goal
    bound: float | None
    gap: float | None  # percent, of the first goal
    worst: tuple | None  # the goal furthest from its bound, and how far; of those in COUNTED
    seconds: float  # whole process; the median if there were several runs
    reached: float  # from its start until it had that value; what came before the search counts
    mebibytes: float  # at most in memory
    fault: str | None = None  # what must not be
    code: int | None = None  # exit status
    answer: dict | None = None  # as printed


def once(binary, path, seconds, gap):
    """(exit status, standard output, standard error, seconds, MiB)"""
    args = [binary, "split", str(path), "--format", "json", "--stats", "--quiet"]
    args += ["--time", f"{seconds:g}s", "--gap", f"{gap:g}%"]
    with tempfile.TemporaryDirectory() as folder:
        out, err = Path(folder) / "out", Path(folder) / "err"
        launch = [sys.executable, "-I", "-S", str(LAUNCH), str(out), str(err)]
        done = subprocess.run([*launch, *args], capture_output=True, text=True, check=True)
        told = json.loads(done.stdout)
        texts = out.read_text(encoding="utf-8"), err.read_text(encoding="utf-8")
        return told["code"], *texts, told["seconds"], told["mebibytes"]


def run(binary, path, seconds, gap, repeat):
    """Short runs are repeated for a median of their time."""
    code, out, err, wall, memory = once(binary, path, seconds, gap)
    walls = [wall]
    while len(walls) < repeat and wall < 0.5:
        again = once(binary, path, seconds, gap)
        walls.append(again[3])
    whole = statistics.median(walls)
    result = Run("failed", None, None, None, None, whole, reached(err, wall, whole), memory)
    try:
        plan = json.loads(out)
    except ValueError:
        result.fault = f"exit status {code}: {err.strip()[:300]}"
        return result
    result.status, result.code, result.answer = plan["status"], code, plan
    if PLANS.get(plan["status"]) != code:
        result.fault = f"exit status {code} with {plan['status']}"
    elif plan["status"] == "no-plan":
        result.fault = f"says that no plan exists: {plan['reason']['text']}"
    if not plan["goals"]:
        return result
    first = plan["goals"][0]
    result.value, result.bound, result.gap = first["reached"], first["bound"], first["gap_percent"]
    if first["name"] == "even" and len(plan["goals"]) == 1:
        result.value = peak(plan)
    counted = [goal for goal in plan["goals"] if goal["name"] in COUNTED]
    furthest = max(counted or plan["goals"], key=lambda goal: goal["gap_percent"])
    result.worst = (furthest["name"], furthest["gap_percent"])
    return result


def reached(err, wall, whole):
    """When the value of the first goal was found: by what the run says of
    itself, what came after it taken off the whole process."""
    found, in_all = FOUND.search(err), IN_ALL.search(err)
    if not found or not in_all:
        return whole
    after = float(in_all[1]) - float(found[2])
    return max(whole - after * (whole / wall), 1e-4)


def peak(plan):
    """The peak share, finer than it is printed."""
    foot = {p["id"] for p in plan["parties"] if p["travel"] == "foot" and not p["store"]}
    people = [c for c in plan["carriers"] if c["party"] in foot and c["kind"] == "person"]
    return max((c["load_g"] / c["limit_g"] for c in people if c["limit_g"]), default=0.0)
