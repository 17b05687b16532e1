"""A move order as a CP-SAT model, after the documents alone.

All in whole numbers. Masses are divided by what divides them all, and every
limit is rounded down to such a step, which changes no answer.
"""

from fractions import Fraction as F
from math import floor, gcd

from ortools.sat.python import cp_model

from asked import PPM, Asked
from quantities import ceil_div

ALONE = ["back", "chest", "shoulder", "belt", "hand"]


class Model(Asked):
    def __init__(self, move):
        self.m = move
        self.cp = cp_model.CpModel()
        self.alone = {}  # (item, carrier, way) -> units
        self.pairs = {}  # (item, first, second) -> units
        self.step = 0
        for item in move["items"].values():
            if item["held"]:
                self.step = gcd(self.step, item["mass"])
                if "pair" in item["ways"]:
                    self.step = gcd(self.step, *item["ends"])
        self.step = self.step or 1
        self.columns()
        self.index()
        self.inside = {i: self.contents(i) for i in move["items"]}
        self.held()
        self.limits()
        self.requirements()
        self.needs()
        self.rules()

    # ---- what may be where -------------------------------------------------
    def carrier(self, c):
        return self.m["carriers"][c]

    def outside(self):
        return [p for p in self.m["parties"] if p != self.m["store"]]

    def kit(self, party=None):
        return [c for c in self.m["kit"] if party is None or self.m["party"][c] == party]

    def kept_off(self, i, c):
        return any(r[0] == "keep-off" and i in r[1] and c in r[2] for r in self.m["rules"])

    def columns(self):
        for i, item in self.m["items"].items():
            if not item["held"]:
                continue
            for c in self.kit():
                ways = [w for w in ALONE if w in item["ways"]]
                for w in ways if self.carrier(c)["person"] else ["bed"]:
                    if not self.kept_off(i, c):
                        name = f"{i} {c} {w}"
                        self.alone[i, c, w] = self.cp.new_int_var(0, item["held"], name)
            if "pair" not in item["ways"]:
                continue
            who = [c for c in self.kit() if self.carrier(c)["person"] and not self.kept_off(i, c)]
            for a in who:
                for b in who:
                    ordered = a < b or (a != b and not item["even"])
                    if ordered and self.m["party"][a] == self.m["party"][b]:
                        name = f"{i} {a}+{b}"
                        self.pairs[i, a, b] = self.cp.new_int_var(0, 1, name)

    def contents(self, i):
        """Everything that is there when one of it is."""
        total = {i: 1}
        for inner, n in self.m["items"][i]["contents"].items():
            for deep, k in self.contents(inner).items():
                total[deep] = total.get(deep, 0) + n * k
        return total

    def index(self):
        """The columns by item and party, by item and carrier, and by carrier."""
        self.in_party, self.on_carrier, self.of_carrier = {}, {}, {}
        for (i, c, w), v in self.alone.items():
            self.in_party.setdefault((i, self.m["party"][c]), []).append(v)
            self.on_carrier.setdefault((i, c), []).append(v)
            self.of_carrier.setdefault(c, []).append((i, w, 0, v))
        for (i, a, b), v in self.pairs.items():
            self.in_party.setdefault((i, self.m["party"][a]), []).append(v)
            for end, c in enumerate((a, b)):
                self.on_carrier.setdefault((i, c), []).append(v)
                self.of_carrier.setdefault(c, []).append((i, "pair", end, v))

    def loose(self, i, party):
        return sum(self.in_party.get((i, party), []))

    def there(self, i, party):
        cases = [(case, n[i]) for case, n in self.inside.items() if i in n]
        return sum(n * self.loose(case, party) for case, n in cases)

    def on(self, i, c):
        return sum(self.on_carrier.get((i, c), []))

    def most(self, i):
        """More than there ever is of it in one place."""
        items = self.m["items"].items()
        return sum(item["held"] * self.inside[case].get(i, 0) for case, item in items)

    def held(self):
        for i, item in self.m["items"].items():
            if item["held"]:
                total = sum(self.loose(i, p) for p in self.m["parties"])
                if self.m["store"]:
                    self.cp.add(total == item["held"])
                else:
                    self.cp.add(total <= item["held"])

    # ---- limits ------------------------------------------------------------
    def kit_terms(self, c):
        """(column, mass in steps) of the kit on a carrier."""
        for i, way, end, v in self.of_carrier.get(c, []):
            item = self.m["items"][i]
            yield v, (item["ends"][end] if way == "pair" else item["mass"]) // self.step

    def kit_steps(self, c):
        return sum(steps * v for v, steps in self.kit_terms(c))

    def usable(self, c):
        limit = self.carrier(c)["limit"]
        for r in self.m["rules"]:
            if r[0] == "reserve" and c in r[3]:
                kept = ceil_div(self.carrier(c)["limit"] * r[2], PPM) if r[1] else r[2]
                limit -= kept
        return max(limit, 0)

    def hands(self, c):
        """Hands in use on a person."""
        mine, items = self.of_carrier.get(c, []), self.m["items"]
        alone = [items[i]["hands"] * v for i, w, _, v in mine if w == "hand"]
        return sum(alone + [v for _, w, _, v in mine if w == "pair"])

    def limits(self):
        items = self.m["items"]
        for c in self.kit():
            carrier = self.carrier(c)
            spare = self.usable(c) - self.m["burden"][c]
            self.at_most(self.kit_steps(c), spare // self.step)
            ways = {"back"} if carrier["person"] else {"bed"}
            mine = self.of_carrier.get(c, [])
            if carrier["room"] is not None:
                bulk = sum(items[i]["bulk"] * v for i, w, _, v in mine if w in ways)
                self.at_most(bulk, carrier["room"])
            if not carrier["person"]:
                continue
            for way in ["back", "chest", "shoulder", "belt"]:
                if carrier["slots"][way] is not None:
                    things = sum(v for _, w, _, v in mine if w == way)
                    self.at_most(things, carrier["slots"][way])
            keep = [r[1] for r in self.m["rules"] if r[0] == "hands-free" and c in r[2]]
            self.at_most(self.hands(c), carrier["slots"]["hand"] - max(keep, default=0))
            self.at_most(sum(v for _, w, _, v in mine if w == "pair"), 1)

    def at_most(self, sum_, most):
        if isinstance(sum_, int):
            if sum_ > most:
                self.cp.add_bool_or([])
        else:
            self.cp.add(sum_ <= most)

    # ---- rules -------------------------------------------------------------
    def present(self, i, c):
        b = self.cp.new_bool_var("")
        self.at_most(self.on(i, c) - self.m["items"][i]["held"] * b, 0)
        return b

    def rules(self):
        for r in self.m["rules"]:
            if r[0] == "apart":
                for p in self.outside():
                    for c in self.kit(p):
                        self.at_most(sum(self.present(i, c) for i in r[1]), 1)
            elif r[0] == "together":
                for p in self.outside():
                    self.together(r[1], p)
            elif r[0] == "at-most":
                for c in r[3]:
                    self.at_most(sum(self.on(i, c) for i in r[2]), r[1])
            elif r[0] == "fixed":
                self.at_most(r[3] - self.on(r[1], r[2]), 0)

    def together(self, items, p):
        one = {c: self.cp.new_bool_var("") for c in self.kit(p)}
        self.cp.add_exactly_one(one.values())
        for (i, c, _), v in self.alone.items():
            if i in items and c in one:
                self.cp.add(v == 0).only_enforce_if(~one[c])
        for (i, a, b), v in self.pairs.items():
            if i in items and a in one:
                self.cp.add(v <= one[a] + one[b])

    # ---- goals -------------------------------------------------------------
    def objective(self, goal):
        """What a goal measures (lightest: in steps); `even` has none."""
        items = self.m["items"]
        if goal == "wants":
            total = 0
            for p, i, value, most in self.m["wants"]:
                counted = self.cp.new_int_var(0, most, "")
                self.at_most(counted - self.there(i, p), 0)
                total = total + value * counted
            return total
        if goal == "lightest":
            return sum(
                item["mass"] // self.step * self.loose(i, p)
                for i, item in items.items()
                for p in self.outside()
            )
        if goal == "hands":
            return sum(self.hands(c) for c in self.kit() if self.carrier(c)["person"])
        total = 0
        for i, item in items.items():
            duty = item["keeper"]
            for p in self.outside():
                foot = self.m["parties"][p]["foot"]
                keeps = [c for c in self.kit(p) if duty in self.carrier(c)["duties"]]
                if not (duty and foot and keeps):
                    continue
                for (j, c, _), v in self.alone.items():
                    if j == i and self.m["party"][c] == p and c not in keeps:
                        total = total + v
                for (j, a, b), v in self.pairs.items():
                    if j == i and self.m["party"][a] == p and not {a, b} & set(keeps):
                        total = total + v
        return total

    def evened(self):
        """Whose shares count."""
        out = [c for p in self.outside() for c in self.kit(p)]
        people = [c for c in out if self.carrier(c)["person"]]
        return people or out

    def cap_shares(self, share, strictly=False, only=None):
        """No share of load against limit is over (or as much as) this; where
        a literal is given, only if it holds."""
        for c in self.evened():
            burden, limit = self.m["burden"][c], self.carrier(c)["limit"]
            most = share * limit - burden
            steps = floor(F(most) / self.step)
            if strictly and steps * self.step == most and (limit or burden):
                steps -= 1
            if limit == 0 and burden == 0:
                steps = 0
            if only is None:
                self.at_most(self.kit_steps(c), steps)
            elif steps < 0:
                self.cp.add_bool_or([~only])
            else:
                self.cp.add(self.kit_steps(c) <= steps).only_enforce_if(only)

    def pin(self, goal, reached, give, value=None):
        """Holds an earlier goal; `reached` in mg for lightest. `value` is what
        the goal measures, if that is there already."""
        if goal == "even":
            self.cap_shares(reached * (PPM + give) / PPM)
            return
        part = floor(reached * give) // PPM
        value = self.objective(goal) if value is None else value
        if goal == "wants":
            self.at_most(reached - part - value, 0)
        elif goal == "lightest":
            self.at_most(value, (reached + part) // self.step)
        else:
            self.at_most(value, reached + part)
