"""Made-up moves by family and size; the same text for the same seed.

Everything is built around a plan that is thrown away afterwards, so that a
plan exists. Masses in grams, bulks in millilitres.
"""

from random import Random

from instance import Instance, Target, everything, grams, on_foot
from kits import kits
from planting import rules_around


def planted(seed):
    """Loads that all come to 90 % of unequal limits: nothing can be evener."""
    for n in (10, 20, 40, 60):
        r = Random(f"planted {n} {seed}")
        people, items, plan = [], [], {}
        for k in range(n):
            limit = 10 * r.randint(2000, 4000)
            people.append({"id": f"person-{k}", "limit": grams(limit)})
            for j, g in enumerate(parts(r, limit * 9 // 10, r.randint(4, 7))):
                items.append({"id": f"item-{k}-{j}", "mass": grams(g)})
                plan[f"item-{k}-{j}", f"person-{k}", "back"] = 1
        r.shuffle(items)
        body = on_foot(people, items, needs={"crew": [everything(items)]}, goals=["even"])
        known = {"best": 0.9, "target": Target(off=0.05)}
        yield Instance("planted", f"{n} carriers", body, gap=0.05, limit=2.0, plan=plan, **known)


def parts(r, total, n):
    """So many random whole numbers that add up to the total."""
    weights = [r.uniform(0.3, 2) for _ in range(n)]
    out = [max(1, int(total * w / sum(weights))) for w in weights]
    out[-1] += total - sum(out)
    return out


def spread(r, items, people):
    """Hands out each item to the person whose share stays smallest."""
    loads = [0] * len(people)
    plan = [[] for _ in people]
    for i in sorted(range(len(items)), key=lambda i: -items[i]):
        k = min(range(len(people)), key=lambda k: (loads[k] + items[i]) / people[k])
        loads[k] += items[i]
        plan[k].append(i)
    return plan


def crowd(r, n, m):
    """Masses, bulks, limits and a plan for n items and m people."""
    masses = [10 * r.randint(20, 600) for _ in range(n)]
    bulks = [round(g * r.uniform(1, 4)) for g in masses]
    weights = [r.uniform(0.7, 1.3) for _ in range(m)]
    limits = [round(sum(masses) / 0.8 * w / sum(weights) / 100) * 100 for w in weights]
    # A step away from the evenest, so that the packs do not give it away.
    plan = spread(r, masses, [w * r.uniform(0.97, 1.03) for w in limits])
    return masses, bulks, limits, plan


def backs(plan):
    return {(f"item-{i}", f"person-{k}", "back"): 1 for k, mine in enumerate(plan) for i in mine}


def balance(seed):
    asked = {"20x2": (0.1, None), "60x4": (0.1, None), "150x8": (0.1, 0.5), "400x20": (0.2, 2)}
    for name, (gap, seconds) in asked.items():
        n, m = map(int, name.split("x"))
        r = Random(f"balance {name} {seed}")
        masses, bulks, limits, plan = crowd(r, n, m)
        items = [
            {"id": f"item-{i}", "mass": grams(g), "bulk": f"{b} mL"}
            for i, (g, b) in enumerate(zip(masses, bulks))
        ]
        people = [
            {"id": f"person-{k}", "limit": grams(limit), "pack": f"{room} mL"}
            for k, limit in enumerate(limits)
            for room in [int(sum(bulks[i] for i in plan[k]) * 1.05)]
        ]
        body = on_foot(people, items, needs={"crew": [everything(items)]}, goals=["even"])
        target = Target(seconds=seconds, gap=gap)
        yield Instance("balance", name, body, gap=gap, target=target, plan=backs(plan))


def tight(seed):
    """Three things a person, and hardly anything to spare."""
    for name in ("15x5", "30x10", "60x20", "120x40"):
        n, m = map(int, name.split("x"))
        r = Random(f"tight {name} {seed}")
        limit, items = 30_000, []
        for k in range(m):
            full = limit - r.randint(0, 90)
            a = r.randint(limit // 4, limit // 2)
            b = r.randint(max(limit // 4, full - a - limit // 2), min(limit // 2, full - a - limit // 5))
            items += [{"id": f"item-{k}-{j}", "mass": grams(g)} for j, g in enumerate([a, b, full - a - b])]
        r.shuffle(items)
        people = [{"id": f"person-{k}", "limit": grams(limit)} for k in range(m)]
        body = on_foot(people, items, needs={"crew": [everything(items)]}, goals=["even"])
        plan = {(f"item-{k}-{j}", f"person-{k}", "back"): 1 for k in range(m) for j in range(3)}
        yield Instance("tight", name, body, gap=0.5, target=Target(gap=0.5), plan=plan)


def wants(seed):
    for name in ("50x5", "100x10", "300x20"):
        n, m = map(int, name.split("x"))
        r = Random(f"wants {name} {seed}")
        masses = [10 * r.randint(20, 600) for _ in range(n)]
        weights = [r.uniform(0.6, 1.4) for _ in range(m)]
        limits = [int(sum(masses) / 2 * w / sum(weights)) for w in weights]
        items = [{"id": f"item-{i}", "mass": grams(g)} for i, g in enumerate(masses)]
        people = [{"id": f"person-{k}", "limit": grams(w)} for k, w in enumerate(limits)]
        worth = {f"item-{i}": max(1, g // 10 + r.randint(-60, 60)) for i, g in enumerate(masses)}
        body = on_foot(people, items, wants={"crew": worth}, goals=["wants"])
        yield Instance("wants", name, body, gap=0.1, target=Target(gap=0.1))


def rules(seed):
    """Every kind of rule, many of each."""
    for name in ("40x4", "100x8", "200x12"):
        n, m = map(int, name.split("x"))
        r = Random(f"rules {name} {seed}")
        masses, _, limits, plan = crowd(r, n, m)
        items = [
            {"id": f"item-{i}", "mass": grams(g), "carry": r.choice([["back"], ["back", "hand"]])}
            | ({"tags": [r.choice(["wet", "frail", "sharp"])]} if r.random() < 0.3 else {})
            for i, g in enumerate(masses)
        ]
        ids = [f"person-{k}" for k in range(m)]
        people = [{"id": c, "limit": grams(round(w * 1.15))} for c, w in zip(ids, limits)]
        has = {c: {f"item-{i}": 1 for i in mine} for c, mine in zip(ids, plan)}
        made = rules_around(r, items, {"crew": has}, ids, n // 3)
        body = on_foot(people, items, needs={"crew": [everything(items)]}, rules=made, goals=["even"])
        yield Instance("rules", name, body, gap=0.5, target=Target(gap=0.5), plan=backs(plan))


FAMILIES = {f.__name__: f for f in (planted, balance, kits, tight, wants, rules)}
