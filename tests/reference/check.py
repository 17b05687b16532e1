"""Holds `tumpline split` against CP-SAT, move by move and goal by goal.

    pip install -r tests/reference/requirements.txt
    cargo build
    python tests/reference/check.py

The reference reads the same files with its own reader and builds its own
model: it shares nothing with the tool but the documents. For every move:

- no plan exists there if and only if none exists here;
- the plan keeps every limit, need and rule, and every number of the report is
  what comes out when it is worked out anew (`audit.py`);
- no plan passes the tool's bound on a goal, the goals before held at what the
  tool reached; and what it reached is within the gap it states (`optimum.py`).

A line for each move; the last line is `N passed, N failed`. These are the kits and
moves of the size of a crew; `oracle.py` does the same for many small ones.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import generate
import reading
from optimum import Disagreement, judge

ROOT = Path(__file__).resolve().parents[2]
WORKERS = 8


def run(binary, path, gap, seconds=None):
    """(exit code, answer)"""
    args = [binary, "split", str(path), "--format", "json", "--gap", gap, "--quiet", "--no-causes"]
    args += ["--time", f"{seconds}s"] if seconds else []
    try:
        done = subprocess.run(args, capture_output=True, text=True, timeout=10 * (seconds or 10))
    except subprocess.TimeoutExpired as e:
        raise Disagreement(f"no answer in {e.timeout:g} s") from e
    if done.returncode not in (0, 1, 4):
        raise Disagreement(f"exit code {done.returncode}: {done.stderr.strip()}")
    return done.returncode, json.loads(done.stdout)


def check(binary, path, seconds, gap):
    """What to say of a move that passes."""
    code, plan = run(binary, path, gap, seconds)
    words = judge(reading.move(path), plan, code, gap, workers=WORKERS)
    if words.endswith("the reference has a plan"):
        raise Disagreement(words)
    return words


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
