"""Families of many small moves: a row for all of a family together.

`ordinary` are the demo moves with other masses and limits. `overfull` and
`bound_together` are small and tight, made to be awkward: what must leave the
store, or must come, is bound by `together` and `apart` at once. Some of them have
no plan. The text of a seed never changes.
"""

import sys
from pathlib import Path
from random import Random

from instance import Instance, grams

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "reference"))
WAYS = [["back"], ["back"], ["shoulder"], ["hand"], ["back", "hand"], ["belt", "back"], ["shoulder", "hand"]]


# ---- the demo moves with other masses and limits ---------------------------------
def ordinary(seed, each=25):
    """So many of each demo move: every mass times 0.7 to 1.3, every limit times
    0.85 to 1.3, each by a factor of its own."""
    import yaml

    def load(path):
        return yaml.safe_load(path.read_text(encoding="utf-8"))

    for path in sorted((ROOT / "kits").glob("*/*.move.yaml")):
        name = path.name.removesuffix(".move.yaml")
        for k in range(each):
            r = Random(f"ordinary {name} {seed} {k}")
            body = load(path)
            body.pop("move")
            if isinstance(body["equipment"], str):
                body["equipment"] = load(path.parent / body["equipment"])["equipment"]
            if isinstance(body["carriers"], str):
                body["carriers"] = load(path.parent / body["carriers"])
            for item in body["equipment"]:
                item["mass"] = scaled(item["mass"], r.uniform(0.7, 1.3))
            for kind, keys in (("people", ["limit", "emergency-limit"]), ("vehicles", ["payload"])):
                for carrier in body["carriers"].get(kind, []):
                    factor = r.uniform(0.85, 1.3)
                    carrier |= {key: scaled(carrier[key], factor) for key in keys if key in carrier}
            yield Instance("ordinary", f"{name} {k}", body, gap=0.5)


def scaled(text, factor):
    import quantities

    if text.strip().endswith("%"):
        return f"{quantities.percent(text) * factor / 10_000:.2f} %"
    return grams(max(1, round(quantities.mass(text) * factor / 1000)))


# ---- small and awkward ---------------------------------------------------------
def kinds(r, least, most, units):
    """Items, as many units of all as that at most."""
    items = []
    for k in range(r.randint(least, most)):
        item = {"id": f"item-{k}", "mass": grams(100 * r.randint(5, 45)), "bulk": f"{r.randint(5, 80) / 10} L"}
        item |= {"held": r.randint(1, 8), "carry": r.choice(WAYS)}
        items.append(item)
    while sum(i["held"] for i in items) > units:
        r.choice([i for i in items if i["held"] > 1])["held"] -= 1
    return items


def mass(items):
    return sum(int(i["mass"].split()[0]) * i["held"] for i in items)


def walkers(r, n, g):
    """So many people who can bear about that together."""
    return [
        {"id": f"person-{k}", "limit": grams(round(g / n * r.uniform(0.8, 1.2) / 100) * 100 + 100)}
        | ({"pack": f"{r.randint(20, 80)} L"} if r.random() < 0.7 else {})
        for k in range(n)
    ]


def bound(r, ids, most=2):
    """`together` and `apart` on some of the same items, on so many at most."""
    one = r.sample(ids, min(len(ids), r.randint(2, 3)))
    shared = r.sample(one, r.randint(1, most))
    other = [i for i in ids if i not in one]
    apart = shared + r.sample(other, min(len(other), r.randint(2 - len(shared), 2)))
    rules = [{"together": one}]
    if len(apart) > 1:
        rules.append({"apart": apart})
    if r.random() < 0.4 and len(other) > 1:
        rules.append({"together": [r.choice(one), *r.sample(other, r.randint(1, 2))]})
    if r.random() < 0.3:
        rules.append({"apart": r.sample(ids, 2)})
    r.shuffle(rules)
    return rules


def goals(r):
    all_ = ["wants", "lightest", "even", "keeper", "hands"]
    return {} if r.random() < 0.5 else {"goals": r.sample(all_, r.randint(1, 5))}


def overfull(seed, count=300):
    """A store that cannot bear, or has no room for, all that is held."""
    for k in range(count):
        r = Random(f"overfull {seed} {k}")
        items = kinds(r, 3, 8, 30)
        total, n = mass(items), r.randint(1, 4)
        # What has to leave fits on those who walk, more or less.
        out = total * r.uniform(0.1, 0.6)
        truck = {"id": "truck", "payload": grams(round((total - out) / 100) * 100)}
        if r.random() < 0.4:
            liters = sum(float(i["bulk"].split()[0]) * i["held"] for i in items)
            share = r.uniform(0.4, 0.9)
            truck = {"id": "truck", "bed": f"{liters * share:.1f} L", "payload": grams(total + 1000)}
            out = total * (1 - share)
        people = walkers(r, n, out * r.uniform(0.9, 1.7))
        body = {
            "equipment": items,
            "carriers": {"people": people, "vehicles": [truck]},
            "parties": {
                "crew": {"travel": "foot", "who": [p["id"] for p in people]},
                "road": {"travel": "vehicle", "who": ["truck"]},
            },
            "stays-with": "road",
            "rules": bound(r, [i["id"] for i in items]),
        }
        yield Instance("overfull", str(k), body | goals(r), gap=0.5)


def bound_together(seed, count=300):
    """Needs and limits that leave little, under rules that pull both ways."""
    for k in range(count):
        r = Random(f"bound-together {seed} {k}")
        items = kinds(r, 3, 8, 30)
        n = r.randint(3, 5)
        rules = bound(r, [i["id"] for i in items], r.choice([1, 1, 1, 2]))
        # Few of what one person has to take all of: else hardly any has a plan.
        one = {i for rule in rules for i in rule.get("together", [])}
        most = {i["id"]: 1 if i["id"] in one else i["held"] for i in items}
        needed = {i: r.randint(1, held) for i, held in most.items() if r.random() < 0.6}
        needed = needed or {items[0]["id"]: 1}
        must = sum(int(i["mass"].split()[0]) * needed.get(i["id"], 0) for i in items)
        people = walkers(r, n, must * r.uniform(1.05, 2))
        body = {
            "equipment": items,
            "carriers": {"people": people},
            "parties": {"crew": {"travel": "foot", "who": [p["id"] for p in people]}},
            "needs": {"crew": [{"need": "must come", "all": [needed]}]},
            "rules": rules,
        }
        wanted = [i for i in items if i["held"] > needed.get(i["id"], 0)]
        if wanted and r.random() < 0.6:
            body["wants"] = {"crew": {i["id"]: {"value": r.randint(1, 9), "up-to": i["held"]} for i in wanted}}
        yield Instance("bound-together", str(k), body | goals(r), gap=0.5)


MANY = {"ordinary": ordinary, "overfull": overfull, "bound-together": bound_together}
