"""Holds `tumpline split` against CP-SAT on many small moves over the whole language.

    pip install -r tests/reference/requirements.txt
    python tests/reference/oracle.py --moves 500
    python tests/reference/oracle.py --minutes 60 --keep FOLDER
    python tests/reference/oracle.py --seed N --moves 1

Each move is made from a seed of its own (`whole.py`), the first of which is new
with every run, unless it is given, and always printed. For each:

- the plan is audited in exact numbers, with all that is printed (`audit.py`);
- on every goal, the goals before held at what the tool reached, no plan passes
  the bound, and what is proven is the optimum; the exit code is that of what it
  says (`optimum.py`);
- no plan exists only where CP-SAT has none.

What ends undecided (exit code 4) is told with its seed, and failed if more than
2 % of all moves do. The last line is `N passed, N failed`; the exit status is 1
if any failed.
"""

import argparse
import json
import multiprocessing
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import check
import reading
import whole
from optimum import Disagreement, judge

PROCESSES = 2
# Percent of all moves. The aim is 0.5; of 500 new ones in every run, chance alone
# would pass that now and then.
UNDECIDED = 2.0
NEWEST = 10**9


def one(job):
    """(seed, kind, words, text, answer) of a move; kind is `ok`, `undecided` or `FAIL`."""
    seed, binary, gap = job
    text, answer = whole.move(seed), None
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"whole-{seed}.move.yaml"
        path.write_text(text, encoding="utf-8")
        try:
            code, answer = check.run(binary, path, gap)
            words = judge(reading.move(path), answer, code, gap)
            kind = "undecided" if code == 4 else "ok"
        except Disagreement as e:
            kind, words = "FAIL", str(e)
        except Exception as e:  # of the reference, and no less a failure
            kind, words = "FAIL", f"the reference fell over: {e!r}"
    return seed, kind, words, text, answer


def jobs(args, first, start):
    k = 0
    while time.monotonic() - start < args.minutes * 60 if args.minutes else k < args.moves:
        yield first + k, args.binary, args.gap
        k += 1


def keep(folder, seed, words, text, answer):
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    body = f"# Seed {seed}: {' '.join(words.split())}\n{text}"
    (folder / f"whole-{seed}.move.yaml").write_text(body, encoding="utf-8")
    if answer:
        (folder / f"whole-{seed}.plan.json").write_text(json.dumps(answer, indent=1), encoding="utf-8")


def arguments():
    text = __doc__.split("\n\n")
    args = argparse.ArgumentParser(
        description=text[0],
        epilog="\n\n".join(text[1:]),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    args.add_argument("--moves", type=int, default=500, help="how many (default 500)")
    args.add_argument("--minutes", type=float, help="instead: for so long")
    args.add_argument("--seed", type=int, help="the first seed; default: by the clock")
    args.add_argument("--binary", default=check.binary())
    args.add_argument("--gap", default="0.5%", help="the gap to ask for (default 0.5%%)")
    args.add_argument("--keep", help="a folder for moves that failed or are undecided")
    return args.parse_args()


def main():
    args = arguments()
    first = args.seed if args.seed is not None else time.time_ns() // 10**6 % NEWEST * 10**3
    print(f"seeds from {first}", flush=True)
    kinds, said, start = Counter(), Counter(), time.monotonic()
    with multiprocessing.Pool(PROCESSES) as pool:
        # Handed out as they are asked for, so that the clock can end them.
        work = jobs(args, first, start)
        busy = []
        while True:
            while len(busy) < 2 * PROCESSES and (job := next(work, None)):
                busy.append(pool.apply_async(one, (job,)))
            if not busy:
                break
            seed, kind, words, text, answer = busy.pop(0).get()
            kinds[kind] += 1
            if kind == "ok":
                said[words.split(":")[0]] += 1
                said["not proven by the reference"] += "(not proven" in words
                continue
            print(f"{seed:<14} {kind:<10} {words}", flush=True)
            if args.keep:
                keep(args.keep, seed, f"{kind}: {words}", text, answer)
    moves = sum(kinds.values())
    share = 100 * kinds["undecided"] / max(moves, 1)
    print(", ".join(f"{n} {word}" for word, n in said.most_common() if n))
    print(f"{kinds['undecided']} of {moves} undecided, {share:.2f} %, at most {UNDECIDED} % may be", end="")
    print(f"  [{time.monotonic() - start:.0f} s]")
    failed = kinds["FAIL"] + (kinds["undecided"] if share > UNDECIDED else 0)
    print(f"{moves - failed} passed, {failed} failed")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
