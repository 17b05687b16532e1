"""Many moves of a family beside CP-SAT: what is settled, how soon, and whether both agree."""

import statistics
from collections import Counter
from dataclasses import dataclass, field

import ours
import table

SETTLED = ("proven-best", "within-gap", "no-plan")
SECONDS = 10.0  # as `split` takes by default


@dataclass(frozen=True)
class Asked:
    """Of a whole family: percent of it settled, and the median of the seconds."""

    settled: float
    seconds: float | None = None


# The awkward ones are small: each is held against CP-SAT on every goal.
ASKED = {"ordinary": Asked(99.5, 0.05), "overfull": Asked(100), "bound-together": Asked(100)}
HELD = ("overfull", "bound-together")


@dataclass
class Tally:
    family: str
    seconds: list = field(default_factory=list)
    kinds: Counter = field(default_factory=Counter)
    unsettled: list = field(default_factory=list)  # names
    unlike: list = field(default_factory=list)  # sentences
    rival: list = field(default_factory=list)  # seconds to the same, or None

    def settled(self):
        return 100 * sum(self.kinds[k] for k in SETTLED) / max(len(self.seconds), 1)

    def missed(self):
        asked, out = ASKED[self.family], [f"unlike the reference: {len(self.unlike)}"] if self.unlike else []
        if self.settled() < asked.settled:
            out.append(f"{self.settled():.2f} % settled, {asked.settled:g} % asked")
        if asked.seconds and statistics.median(self.seconds) > asked.seconds:
            out.append(f"median {statistics.median(self.seconds):.3f} s, {asked.seconds:g} s asked")
        return out

    def row(self):
        ordered = sorted(self.seconds)
        late = ordered[min(len(ordered) - 1, len(ordered) * 95 // 100)]
        cells = [self.family, str(len(ordered)), f"{self.settled():.2f}", str(self.kinds["no-plan"])]
        cells += [table.seconds(t) for t in (statistics.median(ordered), late, ordered[-1])]
        done = [t for t in self.rival if t is not None]
        if self.rival:
            times = [SECONDS if t is None else t for t in self.rival]
            cells += [f"{100 * len(done) / len(times):.2f}", table.seconds(statistics.median(times))]
        else:
            cells += ["–", "–"]
        return cells + ["; ".join(self.missed()) or "ok"]


def measure(binary, family, instances, folder, limit, gap, solvers, say):
    """Runs all of a family; beside CP-SAT if that is among the solvers."""
    tally = Tally(family)
    for instance in instances:
        path = folder / f"{family}-{instance.name.replace(' ', '-')}.move.yaml"
        path.write_text(instance.text(), encoding="utf-8")
        asked = instance.gap if gap is None else gap
        run = ours.run(binary, path, limit or SECONDS, asked, 1)
        tally.seconds.append(run.seconds)
        tally.kinds[run.status] += 1
        if run.status not in SETTLED:
            tally.unsettled.append(instance.name)
            say(f"{family} {instance.name}: {run.status}")
        if run.fault and run.status != "no-plan":
            tally.unlike.append(f"{instance.name}: {run.fault}")
        if "cp-sat" in solvers:
            beside(tally, instance, path, run, asked)
    for text in tally.unlike:
        say(f"{family} {text}")
    say(f"{family}: {tally.settled():.2f} % settled, {'; '.join(tally.missed()) or 'ok'}")
    return tally


def beside(tally, instance, path, run, asked):
    import goals
    import reading
    from optimum import Disagreement, judge

    move = reading.move(path)
    there, first, seconds = goals.one_after_other(move, SECONDS, asked)
    tally.rival.append(seconds)
    words = goals.unlike(move, run, there, first)
    if run.answer is not None and (words or tally.family in HELD):
        # Held to the end, on every goal and in more than one way.
        try:
            judge(move, run.answer, run.code, f"{asked:g}%")
            words = ""
        except Disagreement as e:
            words = str(e)
    if words:
        tally.unlike.append(f"{instance.name}: {words}")


def render(tallies):
    """Of a table of its own: a row for each family."""
    columns = ["family", "moves", "settled %", "no plan", "median s", "95 % s", "worst s"]
    columns += ["cp-sat: settled %", "median s", "target"]
    lines = ["| " + " | ".join(columns) + " |", "|" + "---|" * len(columns)]
    lines += ["| " + " | ".join(t.row()) + " |" for t in tallies]
    return "\n".join(lines) + "\n"
