"""Made-up moves of the size that crews have, one for each seed.

Every kind of item, carrier, need, rule and goal order turns up; some of the
moves have no plan. The text of a seed never changes.
"""

import json
from random import Random

WAYS = [["back"], ["back"], ["back", "hand"], ["hand"], ["pair", "back"], ["pair"], ["pair", "hand"]]
WAYS += [["belt", "back"], ["belt"], ["chest", "belt"], ["shoulder", "back"], ["shoulder"], ["bed"]]
DUTIES = ["medic", "signaller", "rigger"]
GOALS = ["wants", "lightest", "even", "keeper", "hands"]


class Made:
    def __init__(self, seed):
        self.r = Random(seed)
        self.seed = seed
        self.imperial = self.r.random() < 0.25
        self.items = []
        self.carriers = {"people": [], "vehicles": []}
        self.parties = {}
        self.store = None
        self.asked = 0.0  # kg that needs ask for, about

    def chance(self, percent):
        return self.r.randrange(100) < percent

    def mass(self, kg):
        if self.imperial:
            ounces = max(1, round(kg * 35.274))
            return f"{ounces // 16} lb {ounces % 16} oz"
        return f"{max(1, round(kg * 100))}0 g"

    # ---- what there is -----------------------------------------------------
    def equipment(self):
        n = self.r.randint(12, 40)
        for k in range(n):
            kg = self.r.choice([0.2, 0.5, 1, 1, 2, 3, 5, 8]) * self.r.uniform(0.7, 1.4)
            carry = self.r.choice(WAYS)
            item = {"id": f"item-{k}", "mass": self.mass(kg), "kg": kg, "carry": carry}
            item["bulk"] = f"{self.r.randint(2, 30) * kg / 4:.1f} L"
            item["held"] = 1 if carry == ["pair"] else self.r.choice([1, 1, 1, 2, 3, 4, 8])
            if "hand" in carry and self.chance(25):
                item["hands"] = 2
            if carry == ["pair", "back"] and self.chance(60):
                item["pair-shares"] = self.r.choice([["60 %", "40 %"], ["33.3 %", "66.7 %"]])
            if self.chance(25):
                item["keeper"] = self.r.choice(DUTIES)
            if self.chance(30):
                item["tags"] = self.r.sample(["wet", "frail", "sharp"], self.r.randint(1, 2))
            self.items.append(item)
        for item in self.r.sample(self.items, n // 5):
            kind = self.r.choice(["power", "water"])
            amount = max(1, round(item["kg"] * self.r.randint(40, 90)))
            text = f"{amount} Wh" if kind == "power" else f"{max(0.2, item['kg'] * 0.8):.2f} L"
            item["supplies"] = {kind: text}
            item["held"] = self.r.randint(2, 8)
        self.items[0].setdefault("supplies", {})["power"] = "150 Wh"
        self.items[1].setdefault("supplies", {})["water"] = "1 L"
        for item in self.items[:2]:
            item.update({"held": self.r.randint(4, 9), "carry": ["back", "hand"]})
            item.pop("pair-shares", None)
        for item in self.r.sample(self.items[2:], 4):
            item["uses"] = {"power": self.r.choice(["3 W", "4.5 W", "7 W", "20 Wh"])}
        # Requirements and contents only name later items: no circles.
        for k in self.r.sample(range(n - 4), 3):
            others = self.r.sample(range(k + 1, n), self.r.randint(1, 2))
            how = [self.r.choice([1, self.items[o]["held"], "shared"]) for o in others]
            self.items[k]["requires"] = {f"item-{o}": h for o, h in zip(others, how)}
        for k in self.r.sample(range(2, n - 2), 2):
            inside = {f"item-{self.r.randrange(k + 1, n)}": self.r.randint(1, 2)}
            if self.chance(60):
                inside[f"part-{k}"] = self.r.randint(1, 4)
            self.items[k]["contents"] = inside

    def crew(self, kg):
        """People whose limits leave about so much."""
        r, people = self.r, self.r.randint(2, 6)
        for k in range(people):
            worn = r.uniform(2, 6)
            limit = kg / people * r.uniform(0.8, 1.2) + worn + 2
            body = r.uniform(60, 95)
            share = self.chance(50)
            person = {"id": f"person-{k}", "body-mass": self.mass(body), "worn": self.mass(worn)}
            person["limit"] = f"{limit / body * 100:.1f} %" if share else self.mass(limit)
            if self.chance(70):
                person["pack"] = f"{r.randint(35, 90)} L"
            person["duties"] = r.sample(DUTIES, r.randint(0, 2))
            if self.chance(30):
                person["slots"] = {"back": r.randint(4, 12), "belt": r.randint(0, 4), "chest": 2}
            if self.chance(60):
                person["uses"] = {"water": r.choice(["0.1 L/h", "0.2 L/h", "0.5 L"])}
            self.carriers["people"].append(person)
        ids = [p["id"] for p in self.carriers["people"]]
        cut = r.randint(1, people - 1) if people > 3 and self.chance(45) else people
        self.parties["up"] = {"travel": "foot", "who": ids[:cut]}
        if cut < people:
            self.parties["down"] = {"travel": "foot", "who": ids[cut:]}
        if self.chance(25):
            sledge = {"id": "sledge", "payload": self.mass(r.uniform(5, 15)), "hauled": True}
            self.carriers["vehicles"].append(sledge | {"bed": f"{r.randint(40, 150)} L"})
            self.parties["up"]["who"].append("sledge")
        if not self.chance(75):
            return
        total = sum(item["kg"] * item["held"] for item in self.items)
        trucks = ["truck", "van"] if self.chance(30) else ["truck"]
        for truck in trucks:
            payload = total * r.uniform(0.9, 1.4) / len(trucks) + 100
            made = {"id": truck, "payload": self.mass(payload), "seats": 2}
            if self.chance(30):
                made["bed"] = f"{round(total * 12)} L"
            self.carriers["vehicles"].append(made)
        driver = {"id": "driver", "body-mass": self.mass(75), "limit": "30 %"}
        self.carriers["people"].append(driver)
        self.parties["road"] = {"travel": "vehicle", "who": [*trucks, "driver"]}
        self.store = "road"

    # ---- what is asked -----------------------------------------------------
    def carried(self):
        return [item for item in self.items if item["carry"] != ["bed"]]

    def leaf(self):
        item = self.r.choice(self.carried())
        self.asked += item["kg"]
        count = self.r.randint(1, min(2, item["held"]))
        return item["id"] if count == 1 else {item["id"]: count}

    def demand(self):
        if self.chance(60):
            node = {"supply": "power", "for": f"{self.r.randint(2, 18)} h"}
            node |= {"slack": self.r.choice(["0 %", "10 %", "12.5 %"])}
            if self.chance(50):
                node["amount"] = f"{self.r.randint(20, 150)} Wh"
            self.asked += 4
        else:
            node = {"supply": "water", "per-person": f"{self.r.choice([0.3, 0.5, 0.75])} L"}
            if self.chance(50):
                node["for"] = f"{self.r.randint(1, 6)} h"
            self.asked += 4
        return node

    def node(self, depth):
        kind = self.r.choice(["leaf", "leaf", "all", "any", "at-least", "supply"])
        if kind == "leaf" or depth == 0:
            return self.leaf()
        if kind == "supply":
            return self.demand()
        before = self.asked
        children = [self.node(depth - 1) for _ in range(self.r.randint(2, 3))]
        if kind == "all":
            return {"all": children}
        self.asked = before + (self.asked - before) / 2
        if kind == "any":
            return {"any": children}
        return {"at-least": self.r.randint(1, 2), "of": children}

    def needs(self, parties):
        out = {}
        for p in parties:
            out[p] = []
            for k in range(self.r.randint(2, 6)):
                node = self.node(self.r.randint(1, 3))
                if isinstance(node, str) or not set(node) & {"all", "any", "at-least", "supply"}:
                    node = {"item": node}
                out[p].append({"need": f"need {k}", **node})
        return out

    def wants(self):
        out = {}
        for p in [p for p in self.parties if p != self.store]:
            chosen = self.r.sample(self.carried(), self.r.randint(2, 8))
            out[p] = {i["id"]: self.r.randint(1, 9) for i in chosen}
            for i in chosen:
                if i["held"] > 1 and self.chance(50):
                    out[p][i["id"]] = {"value": self.r.randint(1, 5), "up-to": i["held"]}
        return out

    def rules(self):
        r, ids = self.r, [i["id"] for i in self.items]
        who = [c for p, party in self.parties.items() if p != self.store for c in party["who"]]
        people = [c for c in who if c != "sledge"]
        tags = sorted({f"tag:{t}" for i in self.items for t in i.get("tags", [])})
        some = [
            lambda: {"apart": r.sample(ids, r.randint(2, 4))},
            lambda: {"together": r.sample(ids, r.randint(2, 3))},
            lambda: {"at-most": r.randint(1, 3), "of": r.sample(ids, 4)},
            lambda: {"at-most": 2, "of": [r.choice(tags or ids)], "for": r.sample(people, 1)},
            lambda: {"fixed": r.choice(self.carried())["id"], "to": r.choice(people)},
            lambda: {"keep-off": r.sample(tags or ids, 1), "from": r.sample(who, 1)},
            lambda: {"hands-free": 1, "for": r.sample(people, r.randint(1, len(people)))},
            lambda: {"hands-free": 1},
            lambda: {"reserve": r.choice(["5 %", "1 kg"]), "for": r.choice(people)},
            lambda: {"reserve": "3.5 %"},
        ]
        return [make() for make in r.sample(some, r.randint(2, 6))]

    def goals(self):
        goals = self.r.sample(GOALS, self.r.randint(3, 5))
        if self.chance(30):
            k = self.r.randrange(len(goals))
            goals[k] = {goals[k]: self.r.choice(["2 %", "5 %"])}
        return goals


def move(seed):
    """The text of a move order: YAML's flow style, which JSON is."""
    m = Made(seed)
    m.equipment()
    two = m.chance(30)
    needs = m.needs(["up"])
    # Tight, fair or roomy; too tight now and then.
    m.crew(m.asked * m.r.choice([0.6, 1.2, 1.6, 2, 2.6]) + 4)
    if "down" in m.parties and two:
        needs |= m.needs(["down"])
    body = {"units": "imperial" if m.imperial else "metric"}
    items = [{k: v for k, v in item.items() if k != "kg"} for item in m.items]
    body |= {"equipment": items, "carriers": m.carriers, "parties": m.parties}
    if m.store:
        body["stays-with"] = m.store
    body |= {"needs": needs, "wants": m.wants(), "rules": m.rules(), "goals": m.goals()}
    return written(f"tests/reference/generate.py from seed {seed}", f"Made move {seed}", body)


def written(made_by, name, body):
    """A move order's text; an entry of a list a line."""
    lines = [f"# Made by {made_by}.", f"move: {name}"]
    for key, value in body.items():
        if not isinstance(value, list) or not value or isinstance(value[0], str):
            lines.append(f"{key}: {json.dumps(value)}")
            continue
        lines += [f"{key}:", *(f"  - {json.dumps(entry)}" for entry in value)]
    return "\n".join(lines) + "\n"
