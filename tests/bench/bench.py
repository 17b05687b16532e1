"""Times `tumpline split` on made-up moves and open sets, beside general solvers.

    pip install -r tests/bench/requirements.txt
    python tests/bench/bench.py --quick
    python tests/bench/bench.py balance kits --time 10 -o table.md
    python tests/bench/bench.py multiple-knapsack --datasets FOLDER --solvers none

Prints a Markdown table, a row for each instance, and one of the families of many
small moves, a row for each family. Ours is the whole process:
reading, all goals, audit, printing. The solvers get the compact model of the
same move, for its first goal only, already built: their clocks start with their
presolve. `s to value` is when ours had the value of the first goal that it ended
with, by `--stats`, reading and all that came before counted. `s to our value` is
when they first had a plan as good, `s to value and gap` when they also had a bound
as near as ours was asked to be. A ratio is our seconds by the best solver's: to
the value, and of the whole process to value and gap; where no solver came so far
within the limit it is marked `<` and the limit stands in. Under 1 is faster than
they.

A solver is stopped when it has both, so its value and bound are those of then.

The last column says what is missed of the targets. The exit status is 1 if a run
went wrong: a wrong exit status, no plan, a value better than the best possible;
with --strict, if any target is missed.
"""

import argparse
import os
import platform
import subprocess
import sys
import tempfile
from collections import namedtuple
from importlib import metadata
from importlib.util import find_spec
from pathlib import Path

import ours
import rivals
import sets
import table
import together
from families import FAMILIES
from many import MANY

ROOT = Path(__file__).resolve().parents[2]
QUICK = {"planted": ["10 carriers"], "balance": ["20x2", "60x4"], "tight": ["15x5"]}
QUICK |= {"kits": ["tiny", "tiny, wants only", "small, wants only"], "wants": ["50x5"], "rules": ["40x4"]}
SOLVERS = {"cp-sat": "ortools", "highs": "highspy", "scip": "PySCIPOpt"}
Ratio = namedtuple("Ratio", "value proof")  # each (ratio, whether it is only below that), or None


def arguments():
    text = __doc__.split("\n\n")
    args = argparse.ArgumentParser(
        description=text[0],
        epilog="\n\n".join(text[1:]),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    known = [*FAMILIES, *MANY, *sets.SETS]
    args.add_argument("families", nargs="*", metavar="FAMILY", help=f"of {', '.join(known)}; default: all there are")
    args.add_argument("--only", metavar="TEXT", help="only instances whose name holds this")
    args.add_argument("--quick", action="store_true", help="a few small instances, under a minute")
    args.add_argument("--datasets", metavar="FOLDER", help="where the open sets are")
    args.add_argument("--seed", type=int, default=1, help="of the made-up moves (default 1)")
    args.add_argument("--time", type=float, metavar="SECONDS", help="limit of each run that has none of its own (default 10; quick 2)")
    args.add_argument("--gap", type=float, metavar="PERCENT", help="asked of every run; default: by instance")
    args.add_argument("--repeat", type=int, default=5, help="runs of what takes under 0.5 s, for a median (default 5)")
    args.add_argument("--solvers", default="cp-sat,highs,scip", help="to compare with, or `none` (default all installed)")
    args.add_argument("--columns", type=int, default=100_000, help="the largest model solvers get (default 100000)")
    args.add_argument("--binary", metavar="PATH", help="default: the release build, which is made first")
    args.add_argument("--strict", action="store_true", help="exit status 1 if any target is missed")
    args.add_argument("--keep", metavar="FOLDER", help="where to keep the moves")
    args.add_argument("-o", "--output", metavar="FILE", help="where to write the table; default: standard output")
    given = args.parse_args()
    wrong = [f for f in given.families if f not in known]
    if wrong:
        args.error(f"no family `{wrong[0]}`; there are {', '.join(known)}")
    wanted = [s for s in given.families if s in sets.SETS]
    if wanted and not given.datasets:
        args.error(f"`{wanted[0]}` needs --datasets")
    names = [] if given.solvers == "none" else given.solvers.split(",")
    wrong = [s for s in names if s not in SOLVERS]
    if wrong:
        args.error(f"no solver `{wrong[0]}`; there are {', '.join(SOLVERS)}")
    given.time_given = given.time
    given.time = given.time or (2 if given.quick else 10)
    given.solvers = installed(names)
    return given


def say(text):
    print(text, file=sys.stderr, flush=True)


def installed(names):
    out = {}
    for name in names:
        try:
            out[name] = metadata.version(SOLVERS[name])
        except metadata.PackageNotFoundError:
            say(f"{name} is left out: {SOLVERS[name]} is not installed")
    return out


def instances(args):
    for family, make in FAMILIES.items():
        if args.quick and family not in QUICK or args.families and family not in args.families:
            continue
        left = set(QUICK.get(family, ())) if args.quick else None
        for instance in make(args.seed):
            if left is None or instance.name in left:
                yield instance
            if left is not None:
                left.discard(instance.name)
                if not left:
                    break
    if not args.datasets or args.quick:
        return
    for name, why in sets.SKIPPED.items():
        say(f"{name} is left out: {why}")
    for name in sets.SETS:
        if not args.families or name in args.families:
            yield from sets.read(args.datasets, name)


def wanted(args, family):
    """Whether a family of many small moves is asked for."""
    if args.quick or args.families and family not in args.families:
        return False
    if family == "ordinary" and find_spec("yaml") is None:
        say(f"{family} is left out: PyYAML is not installed")
        return False
    return True


def build(binary):
    if binary:
        return str(Path(binary).resolve())
    subprocess.run(["cargo", "build", "--release", "--locked", "--quiet"], cwd=ROOT, check=True)
    return str(ROOT / "target" / "release" / "tumpline")


def compare(args, instance, path, run, limit):
    """What the solvers have, by name."""
    if not args.solvers or not instance.compare or run.value is None:
        return {}
    import compact

    model = compact.build(path, args.columns)
    if model is None:
        say(f"  over {args.columns} columns: solvers are left out")
        return {}
    out = {}
    for name in args.solvers:
        out[name] = rivals.solve(name, model, limit, run.value, run.asked)
        say(f"  {name}: {out[name]}")
    return out


def ratio(run, others, limit):
    if not others:
        return Ratio(None, None)

    def by(ours, times):
        times = [t for t in times if t is not None]
        return (ours / max(min(times, default=limit), 1e-4), not times)

    reached = by(run.reached, [r.reached for r in others.values()])
    # Only where ours has what it was asked for: a proof against a proof.
    settled = by(run.seconds, [r.settled for r in others.values()]) if run.gap <= run.asked else None
    return Ratio(reached, settled)


def heading(args, binary):
    version = subprocess.run([binary, "--version"], capture_output=True, text=True, check=True).stdout.strip()
    with_ = ", ".join(f"{name} ({SOLVERS[name]} {version})" for name, version in args.solvers.items())
    words = [f"{os.cpu_count()} cores, {platform.system()} {platform.machine()}", version]
    words.append(f"{with_}, with {rivals.THREADS} threads" if with_ else "No solvers")
    words += [f"Seed {args.seed}", f"Limit {args.time:g} s where an instance has none of its own"]
    return ". ".join(words) + "."


def main():
    args = arguments()
    # Some solvers print whatever they are told; the table is to be alone.
    table_out = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)
    binary = build(args.binary)
    folder = Path(args.keep or tempfile.mkdtemp(prefix="tumpline-bench-"))
    folder.mkdir(parents=True, exist_ok=True)
    rows, ratios, short, wrong = [], {}, 0, 0
    tallies = [
        together.measure(binary, family, make(args.seed), folder, args.time_given, args.gap, args.solvers, say)
        for family, make in MANY.items()
        if wanted(args, family)
    ]
    for instance in instances(args):
        if args.only and args.only not in instance.name:
            continue
        path = folder / f"{instance.family}-{instance.name.replace(' ', '-').replace(',', '')}.move.yaml"
        path.write_text(instance.text(), encoding="utf-8")
        limit = args.time if instance.limit is None else instance.limit
        asked = instance.gap if args.gap is None else args.gap
        run = ours.run(binary, path, limit, asked, args.repeat)
        run.asked = asked
        faults = table.missed(instance, run)
        say(f"{instance.family} {instance.name}: {run.status} in {run.seconds:.3f} s, {'; '.join(faults) or 'ok'}")
        others = compare(args, instance, path, run, limit)
        both = ratio(run, others, limit)
        ratios.setdefault(instance.family, []).append(both)
        rows.append(table.row(instance, run, others, both, args.solvers))
        short, wrong = short + bool(faults), wrong + table.wrong(instance, run)
    footer = [f"{len(rows)} instances, {short} short of a target, {wrong} gone wrong."]
    if args.solvers:
        for family, list_ in [*ratios.items(), ("all", [r for rs in ratios.values() for r in rs])]:
            means = [table.shown(table.mean([r[k] for r in list_])) for k in (0, 1)]
            footer.append(f"Geometric mean of ratios, {family}: {means[0]}; to value and gap: {means[1]}.")
    text = heading(args, binary) + "\n"
    if rows:
        text += "\n" + table.render(rows, args.solvers, footer)
    if tallies:
        text += "\n" + together.render(tallies)
    short += sum(bool(t.missed()) for t in tallies)
    wrong += sum(bool(t.unlike) for t in tallies)
    if args.output:
        Path(args.output).write_text(text, encoding="utf-8")
    else:
        print(text, end="", file=table_out, flush=True)
    sys.exit(1 if wrong or (args.strict and short) else 0)


if __name__ == "__main__":
    main()
