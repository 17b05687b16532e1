"""Open sets of instances with known optima, read from a folder of theirs.

Nothing of them is kept here. How each maps is said beside it.
"""

import csv
from decimal import Decimal
from pathlib import Path

from instance import Instance, Target, everything, grams, on_foot

LIMIT = 5.0
SETS = ["multiple-knapsack", "makespan", "multidim-knapsack"]
SKIPPED = {"gap": "generalised assignment: a thing's mass would hang on who carries it"}


def optima(folder):
    with open(folder / "optima.csv", encoding="utf-8") as f:
        rows = list(csv.reader(f))[1:]
    return [(row[0], int(row[-1])) for row in rows]


def multiple_knapsack(folder):
    """Each thing is wanted for its profit; limits are the capacities.
    File: m, n, m capacities, n lines of weight and profit."""
    for file, best in optima(folder):
        m, n, *rest = map(int, (folder / file).read_text().split())
        items = [{"id": f"item-{i}", "mass": grams(rest[m + 2 * i])} for i in range(n)]
        people = [{"id": f"person-{k}", "limit": grams(rest[k])} for k in range(m)]
        worth = {f"item-{i}": rest[m + 2 * i + 1] for i in range(n)}
        body = on_foot(people, items, wants={"crew": {i: v for i, v in worth.items() if v}}, goals=["wants"])
        target = Target(off=0, proven=True)
        name = file.removesuffix(".txt").removeprefix("prob")
        yield Instance("multiple-knapsack", name, body, best=best, limit=LIMIT, target=target)


def makespan(folder):
    """Everything goes, limits are equal and never reached; the peak share is
    the longest machine. Jobs of a size are one kind of which several are held.
    File: "p p_cmax n m", n sizes, 0."""
    for file, best in optima(folder):
        words = (folder / file).read_text().split()
        n, m = int(words[2]), int(words[3])
        sizes = list(map(int, words[4 : 4 + n]))
        kinds = {s: sizes.count(s) for s in sorted(set(sizes), reverse=True)}
        limit = 10 ** len(str(sum(sizes)))
        items = [{"id": f"size-{s}", "mass": grams(s), "held": k} for s, k in kinds.items()]
        people = [{"id": f"person-{k}", "limit": grams(limit)} for k in range(m)]
        body = on_foot(people, items, needs={"crew": [everything(items)]}, goals=["even"])
        target = Target(off=0, proven=True)
        name = file.removesuffix(".txt")
        yield Instance("makespan", name, body, best=best, scale=limit, limit=LIMIT, target=target)


def multidim_knapsack(folder):
    """One person; a supply for each limit, held by one tank that must come and
    used up by what comes. File: K; then n m optimum; n profits; m rows of n
    weights; m capacities."""
    words = [Decimal(w) for w in (folder / "mknap1.txt").read_text().split()]
    count, at = int(words[0]), 1
    for k in range(count):
        n, m, best = int(words[at]), int(words[at + 1]), words[at + 2]
        at += 3
        profits = words[at : at + n]
        rows = [words[at + n * (1 + j) : at + n * (2 + j)] for j in range(m)]
        rooms = words[at + n * (1 + m) : at + n * (1 + m) + m]
        at += n * (1 + m) + m
        worth = max(10 ** places(v) for v in [*profits, best])
        items = [{"id": "tank", "mass": "1 g", "supplies": {}}]
        for j in range(m):
            unit = max(10 ** places(v) for v in [*rows[j], rooms[j]])
            items[0]["supplies"][f"room-{j}"] = str(int(rooms[j] * unit))
            rows[j] = [int(w * unit) for w in rows[j]]
        for i in range(n):
            uses = {f"room-{j}": str(rows[j][i]) for j in range(m) if rows[j][i]}
            items.append({"id": f"item-{i}", "mass": "1 g", "uses": uses})
        needs = [{"need": "tank", "item": "tank"}]
        needs += [{"need": f"room {j}", "supply": f"room-{j}", "for": "1 h"} for j in range(m)]
        people = [{"id": "person", "limit": "1000 kg"}]
        wants = {f"item-{i}": int(v * worth) for i, v in enumerate(profits) if v}
        body = on_foot(people, items, needs={"crew": needs}, wants={"crew": wants}, goals=["wants"])
        target = Target(off=0)
        known = {"best": float(best), "scale": 1 / worth} if best else {}
        yield Instance("multidim-knapsack", f"mknap1-{k + 1} {n}x{m}", body, limit=LIMIT, target=target, **known)


def places(value):
    """Digits after the point that are not zero at the end."""
    return max(0, -value.normalize().as_tuple().exponent)


def read(folder, name):
    reader = {"multiple-knapsack": multiple_knapsack, "makespan": makespan}
    return (reader | {"multidim-knapsack": multidim_knapsack})[name](Path(folder) / name)
