"""Equipment, carriers and parties of small moves, in every way files may say them."""

WAYS = ["back", "chest", "shoulder", "belt", "hand", "pair"]
SUPPLIES = ["power", "water", "meals", "line", "fuel"]
TAGS = ["wet", "frail", "sharp"]


class Kit:
    def __init__(self, r):
        self.r = r
        self.imperial = self.chance(25)
        self.items, self.parts, self.held = [], [], {}
        self.carriers, self.parties, self.store = {}, {}, None
        self.supplies = self.some(SUPPLIES, 0, 3)
        # How much is asked for.
        self.hard = self.r.choice([0.4, 0.7, 1.0, 1.5])

    def chance(self, percent):
        return self.r.randrange(100) < percent

    def some(self, of, least, most):
        most = min(most, len(of))
        return self.r.sample(of, self.r.randint(min(least, most), most))

    # ---- quantities ---------------------------------------------------------
    def mass(self, kg):
        r, ounces = self.r, max(1, round(kg * 35.274))
        if self.imperial or self.chance(4):
            pounds = r.choice([f"{ounces // 16} lb {ounces % 16} oz", f"{ounces / 16:.2f} lb"])
            return pounds if ounces > 16 and self.chance(70) else f"{ounces}{r.choice(['oz', ' oz'])}"
        g = max(10, round(kg * 100) * 10)
        if self.chance(3):
            return f"{g * 1000 + r.randint(0, 999)} mg"
        return r.choice([f"{g} g", f"{g / 1000:g} kg", f"{g / 1000:g}kg", f"{kg:.1f} kg" if kg > 0.1 else "0.1 kg"])

    def bulk(self, liters):
        ml = max(1, round(liters * 1000))
        return self.r.choice([f"{ml} mL", f"{liters:.1f} L", f"{ml // 10 + 1} cL", f"{ml // 100 + 1}dL"])

    def space(self, item, kg):
        liters = kg * self.r.uniform(0.4, 5)
        kind = self.r.randrange(10)
        if kind < 5:
            item["bulk"] = self.bulk(liters)
        elif kind < 8:
            side = max(2, round((liters * 1000) ** (1 / 3)))
            a, b, c = side, self.r.randint(1, 2 * side), self.r.randint(1, side)
            item["size"] = self.r.choice(
                [f"{a} x {b} x {c} cm", f"{a}0 x {b}7 x {c}0 mm", f"{a / 2:.1f} x {b / 3:.1f} x {c / 2:.1f} in"]
            )

    def amount(self, supply, most):
        """So much of a supply; of a dimension that each has."""
        r = self.r
        x = r.uniform(0.2, most)
        return {
            "power": lambda: r.choice([f"{x * 60:.0f} Wh", f"{x * 0.06:.3f} kWh"]),
            "water": lambda: r.choice([f"{x * 1000:.0f} mL", f"{x:.1f} L"]),
            "meals": lambda: f"{r.randint(1, max(1, round(most)))}",
            "line": lambda: r.choice([f"{x * 50 + 1:.0f} m", f"{x * 50 + 1:.0f} yd", f"{x * 90 + 1:.0f} ft"]),
            "fuel": lambda: r.choice([f"{x * 400 + 1:.0f} g", f"{x * 0.4 + 0.1:.2f} kg"]),
        }[supply]()

    def use(self, supply):
        """A rate, or an amount used once."""
        r = self.r
        if self.chance(25):
            return self.amount(supply, 1)
        x = r.uniform(0.5, 5)
        return {
            "power": lambda: r.choice([f"{x:.1f} W", f"{x * 1000:.0f} mW", f"{x / 1000:.4f} kW", f"{x:.0f} Wh/h"]),
            "water": lambda: r.choice([f"{x / 30 + 0.1:.1f} L/h", f"{x / 2 + 0.1:.1f} L/d", f"{x * 5 + 1:.0f} mL/min"]),
            "meals": lambda: r.choice(["1/d", "2/d", "3/d", "1/h", "1/8 h"]),
            "line": lambda: r.choice([f"{x:.1f} m/h", f"{x + 1:.0f} ft/h"]),
            "fuel": lambda: r.choice([f"{x * 10:.0f} g/h", f"{x / 20 + 0.01:.2f} kg/d"]),
        }[supply]()

    def uses(self, percent):
        return {s: self.use(s) for s in self.supplies if self.chance(percent)}

    # ---- equipment ------------------------------------------------------------
    def ways(self):
        if self.chance(35):
            return None
        if self.chance(6):
            return ["bed"]
        return self.some(WAYS, 1, 3) + (["bed"] if self.chance(4) else [])

    def equipment(self):
        r = self.r
        n = r.choice([2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 16, 20, 24])
        # Alike masses make many plans that are as good.
        alike = r.choice([None, None, [0.5, 1, 2], [1.2, 3.1]])
        self.kg, self.ml = {}, {}
        for k in range(n):
            kg = r.choice(alike) if alike else r.choice([0.2, 0.5, 1, 2, 4, 8]) * r.uniform(0.6, 1.5)
            item = {"id": f"item-{k}"}
            if self.chance(10):
                item["name"] = f"Thing no. {k}"
            item["mass"] = self.mass(kg)
            self.space(item, kg)
            if self.chance(70):
                item["held"] = r.choice([0, 1, 1, 1, 2, 2, 3, 4, 6, 6] + ([9] if n < 8 else []))
            if (ways := self.ways()) is not None:
                item["carry"] = ways
                if "hand" in ways and self.chance(40):
                    item["hands"] = r.choice([1, 2])
                if "pair" in ways and self.chance(50):
                    item["pair-shares"] = r.choice(
                        [["60 %", "40 %"], ["33.3 %", "66.7 %"], ["50 %", "50 %"], ["27.1234 %", "72.8766 %"]]
                    )
            if self.chance(40):
                item["keeper"] = r.choice(["medic", "signaller", "rigger"])
            if self.chance(25):
                item["tags"] = self.some(TAGS, 1, 2)
            for key, made in (("supplies", self.gives()), ("uses", self.uses(12))):
                if made:
                    item[key] = made
            self.kg[item["id"]], self.held[item["id"]] = kg, item.get("held", 1)
            self.items.append(item)
        for s in self.supplies:
            # A supply that nothing gives is a fault of the file.
            if not any(s in i.get("supplies", {}) for i in self.items):
                r.choice(self.items).setdefault("supplies", {})[s] = self.amount(s, 3)
        self.linked(n)

    def gives(self):
        return {s: self.amount(s, 3) for s in self.supplies if self.chance(40)}

    def linked(self, n):
        """Requirements and contents only name later items: no circles."""
        r = self.r
        for k in range(n):
            later = [f"item-{j}" for j in range(k + 1, n)]
            if self.chance(15):
                inside = {i: r.choice([1, 1, 2, 3]) for i in self.some(later, 0, 2)}
                if not inside or self.chance(30):
                    part = f"part-{r.randint(0, 2)}"
                    inside[part] = r.randint(1, 3)
                    self.parts = sorted({*self.parts, part})
                self.items[k]["contents"] = inside
            others = later + [p for p in self.parts if self.chance(20)]
            if others and self.chance(15):
                how = {i: r.choice([1, 1, 2, "shared", "shared"]) for i in self.some(others, 1, 2)}
                self.items[k]["requires"] = how

    # ---- carriers -------------------------------------------------------------
    def crew(self, duties):
        r = self.r
        total = sum(self.kg[i] * n for i, n in self.held.items()) + 0.5
        people = r.choice([1, 1, 2, 2, 2, 3, 3, 4, 5, 6])
        # From far too little for all of it to more than enough.
        room = total * r.choice([0.2, 0.4, 0.6, 0.8, 1, 1.2, 1.6, 2.5]) / people
        made = [self.person(k, room, duties) for k in range(people)]
        vehicles = []
        ids = [p["id"] for p in made]
        cut = r.randint(1, people - 1) if people > 1 and self.chance(25) else people
        walks = not self.chance(6)
        if walks:
            self.parties["up"] = {"travel": "foot", "who": ids[:cut]}
            if cut < people:
                self.parties["down"] = {"travel": "foot", "who": ids[cut:]}
            if self.chance(20):
                vehicles.append(self.vehicle("sledge", total * r.uniform(0.1, 0.5)) | {"hauled": True})
                self.parties[r.choice(list(self.parties))]["who"].append("sledge")
        if not walks or self.chance(12):
            riders = ids if not walks else self.some(["guide"], 0, 1)
            if walks and riders:
                made.append(self.person(8, room, duties) | {"id": "guide"})
            vehicles.append(self.vehicle("jeep", total * r.uniform(0.3, 1.3), riders))
            self.parties["track"] = {"travel": "vehicle", "who": ["jeep", *riders]}
        if self.chance(70):
            vehicles += self.make_store(total, room * people, made)
        self.carriers = {"people": made}
        if self.chance(5):
            self.carriers["people"].append(self.person(9, room, duties))  # goes nowhere
        if vehicles:
            self.carriers["vehicles"] = vehicles
        for party in self.parties.values():
            if len(party["who"]) == 1 and self.chance(40):
                party["who"] = party["who"][0]

    def make_store(self, total, room, people):
        """Vehicles that keep the rest; often they cannot keep all of it."""
        r, out, self.store = self.r, [], "road"
        names = ["truck", "van"] if self.chance(30) else ["truck"]
        riders = self.some(["driver", "mate"], 1, 2) if self.chance(40) else []
        for c in riders:
            body = self.mass(r.uniform(60, 85))
            people.append({"id": c, "body-mass": body, "limit": "30 %", "worn": self.mass(2)})
        # The first seats are taken first: one each in two vehicles, or all in the first.
        seats = [riders[:1], riders[1:]] if len(names) == 2 and self.chance(50) else [riders, []]
        keeps = total * r.choice([0.3, 0.6, 0.9, 1.1] + [2] * 6) / len(names)
        if self.chance(20):
            # What it cannot keep hardly fits on those who walk.
            keeps = max(total * r.uniform(1, 1.2) - room, total / 20) / len(names)
        for k, name in enumerate(names):
            out.append(self.vehicle(name, keeps * r.uniform(0.9, 1.1), seats[k], exact=seats[0] != riders))
        self.parties["road"] = {"travel": "vehicle", "who": [*names, *riders]}
        return out

    def vehicle(self, name, kg, riders=(), exact=False):
        kg_ = kg + 0.3 + 90 * len(riders)
        made = {"id": name, "payload": f"{kg_ / 1000:.5f} t" if self.chance(10) else self.mass(kg_)}
        if self.chance(10):
            made["name"] = f"The {name}"
        if self.chance(40):
            made["bed"] = self.bulk(kg * self.r.uniform(1, 5) + 1)
        if riders or self.chance(30):
            made["seats"] = len(riders) if exact else max(len(riders), self.r.randint(1, 3))
        return made

    def person(self, k, kg, duties):
        r = self.r
        worn = r.choice([0, 0, r.uniform(0.5, 6)])
        limit = kg * r.uniform(0.7, 1.5) + worn + 1
        body = r.uniform(55, 100)
        made = {"id": f"person-{k}", "body-mass": self.mass(body)}
        if self.chance(10):
            made["name"] = f"No. {k}"
        share = self.chance(40) and limit < body
        made["limit"] = f"{limit / body * 100:.{r.choice([0, 1, 3])}f} %" if share else self.mass(limit)
        if made["limit"].startswith("0 "):
            made["limit"] = "1 %"
        if self.chance(10):
            made["emergency-limit"] = self.mass(max(limit, body) * 1.5 + 5)
        if worn:
            made["worn"] = self.mass(worn)
        if self.chance(50):
            made["pack"] = self.bulk(limit * r.uniform(0.8, 4) + 1)
        if self.chance(75):
            made["duties"] = self.some(duties, 0, 2)
        if self.chance(40):
            slots = {w: r.choice([0, 1, 2, 2, 3, 4]) for w in self.some(WAYS[:4], 0, 3)}
            slots["hand"] = r.choice([0, 1, 2, 2, 2])
            made["slots"] = slots
        if uses := self.uses(30):
            made["uses"] = uses
        return made

    def takers(self):
        """Who takes kit: those on foot, and vehicles in a party."""
        out = []
        for party in self.parties.values():
            foot, who = party["travel"] == "foot", party["who"]
            for c in who if isinstance(who, list) else [who]:
                if foot or c in ("jeep", "truck", "van"):
                    out.append(c)
        return out

    def people(self):
        """Who walks."""
        return [c for c in self.takers() if c.startswith("person")]

    def everybody(self):
        return [c["id"] for kind in self.carriers.values() for c in kind]
