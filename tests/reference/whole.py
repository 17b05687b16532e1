"""Small moves over the whole language of move files, one for each seed.

Every key, unit and kind of line of kits/README.md turns up, in every mixture, and
limits from far too tight to roomy; what is checked is not whether crews would
ask this. The text of a seed never changes.
"""

from random import Random

from generate import DUTIES, GOALS, written
from whole_kit import Kit

NUMBERS = ["2 %", "5 %", "0.5 %", "10 %", "33.3 %", "1.2345 %"]


class Whole(Kit):
    def __init__(self, seed):
        super().__init__(Random(f"whole {seed}"))
        self.optional = 0

    # ---- needs -------------------------------------------------------------
    def names(self):
        """What may be asked for: what is held, and what is only in cases; now
        and then what none is held of, or what nobody on foot may take."""
        ids = [i["id"] for i in self.items]
        if not self.chance(5):
            easy = [i["id"] for i in self.items if i.get("held", 1) and i.get("carry") != ["bed"]]
            ids = easy or ids
        return ids + self.parts

    def count(self, i):
        held = max(1, self.held.get(i, 1))
        return self.r.choice([1, 1, 1, 1, min(2, held), held, max(1, held // 2)])

    def leaf(self):
        r = self.r
        if self.chance(15):
            return {i: self.count(i) for i in self.some(self.names(), 1, 3)}
        i = r.choice(self.names())
        if self.chance(50):
            return i
        if self.chance(40):
            return {"item": i if self.chance(50) else {i: self.count(i)}}
        return {i: self.count(i)}

    def demand(self):
        r, node = self.r, {"supply": self.r.choice(self.supplies)}
        kinds = self.some(["amount", "per-person", "for"], 1, 3)
        if "amount" in kinds:
            node["amount"] = self.amount(node["supply"], 2 * self.hard)
        if "per-person" in kinds:
            node["per-person"] = self.amount(node["supply"], 0.6 * self.hard)
        if "for" in kinds:
            minutes = r.randint(10, round(400 * self.hard))
            node["for"] = r.choice(
                [f"{minutes} min", f"{minutes // 60} h {minutes % 60} min", f"{1 + minutes // 240} h"]
                + [f"{minutes * 37} s", f"{1 + minutes // 600} d"]
            )
        if self.chance(30):
            node["slack"] = r.choice(["10 %", "12.5 %", "50 %", "7 %", "0.01 %"])
        return node

    def node(self, depth, optional=False):
        r = self.r
        kind = r.choice(["leaf", "leaf", "all", "any", "at-least", "supply"])
        if kind == "supply" and self.supplies and self.optional < 6:
            self.optional += optional
            return self.demand()
        if kind in ("leaf", "supply") or depth == 0:
            return self.leaf()
        lines = r.randint(1, 4)
        if kind == "all":
            return {"all": [self.node(depth - 1, optional) for _ in range(lines)]}
        children = [self.node(depth - 1, True) for _ in range(lines)]
        if kind == "any":
            return {"any": children}
        return {"at-least": r.randint(1, lines), "of": children}

    def needs(self):
        out = {}
        for p in self.parties:
            if p == self.store and self.chance(70):
                continue
            lines, self.optional = [], 0
            for k in range(self.r.choice([0, 1, 1, 2, 2, 3] + [5] * (self.hard > 1))):
                node = self.node(self.r.randint(0, 3))
                if isinstance(node, str) or not set(node) & {"all", "any", "at-least", "supply", "item"}:
                    node = {"item": node if isinstance(node, str) or len(node) == 1 else next(iter(node))}
                if self.chance(10):
                    node["priority"] = self.r.randint(1, 3)
                lines.append({"need": f"need {k}", **node})
            if lines:
                out[p] = lines
        return out

    def wants(self):
        out = {}
        for p in self.parties:
            if p != self.store and self.chance(75):
                out[p] = {}
                for i in self.some(self.names(), 1, 6):
                    value = self.r.randint(1, 9)
                    more = {} if self.chance(30) else {"up-to": self.r.randint(1, max(1, self.held.get(i, 2)))}
                    out[p][i] = value if self.chance(40) else {"value": value, **more}
        return out

    # ---- rules -------------------------------------------------------------
    def kinds(self, least, most):
        """Items, one by itself, or some of them by their tags."""
        ids = [i["id"] for i in self.items]
        tags = {}
        for item in self.items:
            for t in item.get("tags", []):
                tags.setdefault(f"tag:{t}", []).append(item["id"])
        chosen = self.some(ids, least, most)
        if tags and self.chance(25):
            tag = self.r.choice(sorted(tags))
            if len({*chosen[:-1], *tags[tag]}) >= least:
                chosen[-1] = tag
        return chosen[0] if len(chosen) == 1 and self.chance(50) else chosen

    def whom(self, ids):
        chosen = self.some(ids, 1, 3)
        return {"for": chosen[0] if len(chosen) == 1 and self.chance(50) else chosen}

    def all_rules(self):
        r, people, everybody = self.r, self.people(), self.everybody()
        # `fixed` names somebody who takes kit.
        held = [i["id"] for i in self.items if i.get("held", 1)] or [self.items[0]["id"]]
        fixed = {"fixed": r.choice(held), "to": r.choice(self.takers())}
        return [
            lambda: {"apart": self.kinds(2, 4)},
            lambda: {"together": self.kinds(2, 4)},
            lambda: {"together": self.kinds(2, 3)},
            lambda: {"at-most": r.randint(0, 3), "of": self.kinds(1, 4)},
            lambda: {"at-most": r.randint(0, 2), "of": self.kinds(1, 3), **self.whom(everybody)},
            lambda: fixed if self.chance(50) else {**fixed, "count": r.randint(1, 2)},
            lambda: {"keep-off": self.kinds(1, 3), "from": self.whom(everybody)["for"]},
            lambda: self.hands_free(people),
            lambda: {**self.hands_free(people), **(self.whom(people) if people else {})},
            lambda: {"reserve": r.choice(["5 %", "12.5 %", "1 kg", "1 lb 3 oz", "0.75 %"])},
            lambda: {"reserve": r.choice(["3.3 %", "800 g"]), **(self.whom(people) if people else {})},
        ]

    def hands_free(self, people):
        """No more than everybody has: more is a fault of the file."""
        crew = [p for p in self.carriers["people"] if p["id"] in people]
        least = min((p.get("slots", {}).get("hand", 2) for p in crew), default=2)
        return {"hands-free": self.r.randint(1, least)} if least else {"reserve": "2 %"}

    def rules(self):
        made = self.all_rules()
        return [self.r.choice(made)() for _ in range(self.r.choice([0, 0, 1, 2, 3, 4, 6]))]

    def goals(self):
        goals = self.some(GOALS, 1, 5)
        return [{g: self.r.choice(NUMBERS)} if self.chance(25) else g for g in goals]


def move(seed):
    """The text of a move order."""
    m = Whole(seed)
    m.equipment()
    m.crew(DUTIES)
    body = {"units": "imperial"} if m.imperial else {"units": "metric"} if m.chance(20) else {}
    body |= {"equipment": m.items, "carriers": m.carriers, "parties": m.parties}
    if m.store:
        body["stays-with"] = m.store
    for key, value in {"needs": m.needs(), "wants": m.wants(), "rules": m.rules()}.items():
        if value or m.chance(20):
            body[key] = value
    if m.chance(85):
        body["goals"] = m.goals()
    return written(f"tests/reference/whole.py from seed {seed}", f"Whole move {seed}", body)
