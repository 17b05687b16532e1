"""Moves like those of crews, from two people to a column of six hundred.

A plan comes first: what each party needs is handed out, and the limits are set
around it. Wants, left in the store, compete for the rest.
"""

from random import Random

from instance import Instance, Target, grams
from planting import rules_around

# name: types, units, people, parties on foot, trucks of the store
SIZES = {
    "tiny": (20, 40, 2, 1, 1),
    "small": (60, 150, 4, 1, 1),
    "medium": (200, 700, 12, 2, 1),
    "large": (800, 4_000, 90, 6, 2),
    "column": (3_000, 20_000, 572, 20, 8),
}
DUTIES = ["medic", "signaller", "rigger"]
GOALS = ["wants", "lightest", "even", "keeper", "hands"]


def kits(seed):
    """All goals; and the first alone, for which there are solvers to compare with."""
    for name in SIZES:
        made = Made(name, seed)
        body = made.body()
        if name == "column":
            more = {"gap": 1.0, "compare": False, "plan": made.plan()}
            quick, slow = Target(mebibytes=1024), Target(gap=1, mebibytes=1024)
            yield Instance("kits", "column, first plan", body, limit=10.0, target=quick, **more)
            yield Instance("kits", "column", body, limit=60.0, target=slow, **more)
            continue
        more = {"gap": 0.5, "plan": made.plan()}
        target = Target(seconds=0.03) if name == "tiny" else Target(gap=0.5)
        yield Instance("kits", name, body, target=target, compare=False, **more)
        yield Instance("kits", f"{name}, wants only", body | {"goals": GOALS[:1]}, **more)


class Made:
    def __init__(self, name, seed):
        self.types, units, people, parties, trucks = SIZES[name]
        self.r = Random(f"kits {name} {seed}")
        self.make_items(units)
        self.make_crew(people, parties)
        self.plant()
        self.limits()
        self.trucks = [f"truck-{k}" for k in range(trucks)]

    def make_items(self, units):
        r, self.items = self.r, {}
        for k in range(self.types):
            heavy = r.random() < 0.04
            kg = r.uniform(12, 24) if heavy else r.choice([0.1, 0.2, 0.4, 0.8, 1.5, 3]) * r.uniform(0.7, 1.4)
            item = {"id": f"item-{k}", "g": max(20, round(kg * 100) * 10), "held": 1}
            item["ml"] = round(item["g"] * r.uniform(0.8, 3.5))
            item["carry"] = ["pair", "back"] if heavy else r.choice(
                [["back"], ["back"], ["back", "hand"], ["belt", "back"], ["chest", "back"], ["shoulder", "back"]]
            )
            if r.random() < 0.15:
                item["keeper"] = r.choice(DUTIES)
            if r.random() < 0.2:
                item["tags"] = [r.choice(["wet", "frail", "sharp", "signal"])]
            if heavy:
                # Rules by tag are made around what people carry alone.
                item.pop("tags", None)
            if k % 25 == 11:
                item["contents"] = {f"part-{k}": r.randint(1, 4)}
            if k % 10 == 3:
                item["supplies"] = {"power": f"{round(kg * 60) + 5} Wh"}
            elif k % 10 == 6:
                item["supplies"] = {"water": f"{item['g'] * 4 // 5} mL"}
            elif k % 10 == 8:
                item["uses"] = {"power": r.choice(["3 W", "4.5 W", "7 W", "20 Wh"])}
            self.items[item["id"]] = item
        light = [i for i in self.items.values() if "pair" not in i["carry"]]
        for _ in range(units - self.types):
            r.choice(light)["held"] += 1

    def make_crew(self, people, parties):
        self.parties = {}
        for p in range(parties):
            size = people // parties + (p < people % parties)
            first = sum(len(who) for who in self.parties.values())
            self.parties[f"party-{p}"] = [f"person-{first + k}" for k in range(size)]
        self.duties = {
            c: self.r.sample(DUTIES, self.r.choice([0, 1, 1, 2]))
            for who in self.parties.values()
            for c in who
        }

    def plant(self):
        """About 60 % of the units, on people's backs; heavy things by pairs."""
        r = self.r
        self.left = {i: item["held"] for i, item in self.items.items()}
        self.has = {p: {c: {} for c in who} for p, who in self.parties.items()}
        self.pairs = {p: {} for p in self.parties}  # item -> (carrier, carrier)
        self.load = {c: 0 for who in self.parties.values() for c in who}
        self.bulk = dict(self.load)
        # Half of each party at most, so that hands stay free for rules.
        free = {p: r.sample(who, len(who) // 4 * 2) for p, who in self.parties.items()}
        goes = [i for i in self.items for _ in range(self.left[i]) if r.random() < 0.6]
        r.shuffle(goes)
        names = list(self.parties)
        for i in sorted(goes, key=lambda i: -self.items[i]["g"]):
            p, item = r.choice(names), self.items[i]
            if "pair" in item["carry"]:
                if len(free[p]) < 2 or i in self.pairs[p]:
                    continue
                a, b = free[p].pop(), free[p].pop()
                self.pairs[p][i] = (a, b)
                for c in (a, b):
                    self.load[c] += (item["g"] + 1) // 2
            else:
                c = min(r.sample(self.parties[p], min(3, len(self.parties[p]))), key=self.load.get)
                self.has[p][c][i] = self.has[p][c].get(i, 0) + 1
                self.load[c] += item["g"]
                self.bulk[c] += item["ml"]
            self.left[i] -= 1

    def limits(self):
        r, self.people = self.r, []
        for who in self.parties.values():
            for c in who:
                worn = 10 * r.randint(200, 600)
                # The reserve of 4 % and room for some wants.
                limit = int((self.load[c] + worn) * 1.05 * r.uniform(1.02, 1.2)) + 500
                person = {"id": c, "worn": grams(worn), "limit": grams(limit), "duties": self.duties[c]}
                person["pack"] = f"{int(self.bulk[c] * r.uniform(1.05, 1.4)) + 2000} mL"
                person["uses"] = {"water": r.choice(["0.1 L/h", "0.2 L/h", "0.5 L"])}
                self.people.append(person)

    def there(self, p, i):
        return sum(units.get(i, 0) for units in self.has[p].values()) + (i in self.pairs[p])

    def needs(self, p):
        """Most of what the plan has, some of it in trees; what is there of
        supplies, less a little."""
        r = self.r
        have = {i: n for i in self.items if (n := self.there(p, i))}
        out, rest = [], list(have)
        r.shuffle(rest)
        others = list(self.items)
        keep = len(rest) * 4 // 5
        k = 0
        while k < keep:
            size = r.randint(1, 6)
            lines = [{i: r.randint(1, have[i])} for i in rest[k : k + size]]
            k += size
            kind = r.choice(["all", "all", "any", "at-least"])
            if kind == "any":
                node = {"any": [{"all": lines}, {r.choice(others): 1}]}
            elif kind == "at-least" and len(lines) > 1:
                node = {"at-least": len(lines) - 1, "of": [*lines, {r.choice(others): 1}]}
            else:
                node = {"all": lines}
            out.append({"need": f"need {len(out)}", **node})
        amounts = {"power": 0, "water": 0}
        for i, n in have.items():
            for s, text in self.items[i].get("supplies", {}).items():
                amounts[s] += n * int(text.split()[0])
        use = {"power": 0.0, "water": 0.0}
        for i, n in have.items():
            for text in self.items[i].get("uses", {}).values():
                number, unit = text.split()
                use["power"] += n * float(number) * (4 if unit == "W" else 1)
        for person in self.people:
            if person["id"] in self.parties[p]:
                text = person["uses"]["water"]
                use["water"] += 500 if text == "0.5 L" else 4000 * float(text.split()[0])
        for s, unit in (("power", "Wh"), ("water", "mL")):
            spare = int((amounts[s] / 1.05 - use[s]) * 0.95) - 1
            if spare > 0:
                out.append({"need": s, "supply": s, "amount": f"{spare} {unit}", "for": "4 h", "slack": "5 %"})
        return out

    def requires(self):
        """Of pairs that the plan keeps; only later ones, so no circles."""
        ids, asked = list(self.items), set()
        for _ in range(self.types // 12):
            a, b = sorted(self.r.sample(range(len(ids)), 2))
            a, b = ids[a], ids[b]
            if b in asked or any(self.there(p, b) < self.there(p, a) for p in self.parties):
                continue
            asked.add(b)
            how = self.r.choice([1, "shared"])
            self.items[a].setdefault("requires", {})[b] = how

    def plan(self):
        """What it was made around; the trucks keep the rest."""
        out = {}
        for party, carriers in self.has.items():
            for c, units in carriers.items():
                out |= {(i, c, "back"): n for i, n in units.items()}
            out |= {(i, *sorted(two)): 1 for i, two in self.pairs[party].items()}
        return out | {(i, self.trucks[0], "bed"): n for i, n in self.left.items() if n}

    def body(self):
        self.requires()
        r = self.r
        equipment = []
        for item in self.items.values():
            more = {k: v for k, v in item.items() if k not in ("g", "ml")}
            equipment.append(more | {"mass": grams(item["g"]), "bulk": f"{item['ml']} mL"})
        # Any of the trucks could bear all of it.
        each = sum(i["g"] * i["held"] for i in self.items.values()) + 50_000
        vehicles = [{"id": t, "payload": grams(each), "seats": 2} for t in self.trucks]
        parties = {p: {"travel": "foot", "who": who} for p, who in self.parties.items()}
        for k, party in enumerate(parties.values()):
            if len(self.people) > 4:
                vehicles.append({"id": f"sledge-{k}", "payload": "25 kg", "bed": "90 L", "hauled": True})
                party["who"] = [*party["who"], f"sledge-{k}"]
        parties["road"] = {"travel": "vehicle", "who": self.trucks}
        wants = {}
        spare = [i for i, n in self.left.items() if n and "pair" not in self.items[i]["carry"]]
        for p in self.parties:
            chosen = r.sample(spare, min(len(spare), max(4, self.types // 10)))
            wants[p] = {
                i: {"value": r.randint(1, 9), "up-to": r.randint(1, self.items[i]["held"])} for i in chosen
            }
        paired = {c for pairs in self.pairs.values() for two in pairs.values() for c in two}
        walkers = [c for c in self.load if c not in paired]
        loose = [i for i in equipment if "pair" not in i["carry"]]
        rules = rules_around(r, loose, self.has, walkers, 6 + min(self.types // 10, 120))
        return {
            "equipment": equipment,
            "carriers": {"people": self.people, "vehicles": vehicles},
            "parties": parties,
            "stays-with": "road",
            "needs": {p: self.needs(p) for p in self.parties},
            "wants": wants,
            "rules": rules,
            "goals": GOALS,
        }
