"""The rows of the model for requirements, needs and supplies."""

from fractions import Fraction as F
from math import gcd, lcm

PPM = 10**6


class Asked:
    """Of `Model`, which has the columns and what is there of each item."""

    def requirements(self):
        for p in self.outside():
            asked = {}
            for i, item in self.m["items"].items():
                for other, how in item["requires"].items():
                    if how != "shared":
                        asked[other] = asked.get(other, 0) + int(how) * self.there(i, p)
                        continue
                    some = self.cp.new_bool_var("")
                    self.at_most(self.there(i, p) - self.most(i) * some, 0)
                    self.at_most(some - self.there(other, p), 0)
            for other, sum_ in asked.items():
                self.at_most(sum_ - self.there(other, p), 0)

    def needs(self):
        self.demands = []  # (party, demand, active or None)
        for p, node in self.m["needs"]:
            self.node(p, node, None)
        keys = dict.fromkeys((p, d["supply"]) for p, d, _ in self.demands)
        for p, supply in keys:
            mine = [(d, on) for q, d, on in self.demands if (q, d["supply"]) == (p, supply)]
            self.enough(p, supply, mine)

    def enough(self, p, supply, demands):
        """What is there covers all demands together. Both sides are exact, in
        parts of the base unit: what is there is whole, so to round the demand
        up changes nothing."""
        items = self.m["items"]
        gives = {i: item["supplies"][supply] for i, item in items.items() if supply in item["supplies"]}
        asks = [(*self.demand(p, d), on) for d, on in demands]
        parts = [F(n) for n in gives.values()]
        parts += [f for fixed, each, _ in asks for f in (fixed, *each.values())]
        scale = F(lcm(*(f.denominator for f in parts)))
        scale /= gcd(*(int(f * scale) for f in parts)) or 1
        asked = 0
        for fixed, each, on in asks:
            sum_ = int(fixed * scale)
            for i, f in each.items():
                sum_ = sum_ + int(f * scale) * self.there(i, p)
            if on is not None:
                most = fixed + sum(f * self.most(i) for i, f in each.items())
                sum_ = self.switched(sum_, on, int(most * scale))
            asked = asked + sum_
        have = sum(int(n * scale) * self.there(i, p) for i, n in gives.items())
        self.at_most(asked - have, 0)

    def demand(self, p, d):
        """(what is asked whatever is there, what each of an item there adds)"""

        def use(uses):
            if d["supply"] not in uses:
                return F(0)
            amount, per = uses[d["supply"]]
            return F(amount) if per is None else F(amount * (d["time"] or 0), per)

        times = F(d["times"], PPM)
        who = [self.carrier(c) for c in self.m["parties"][p]["who"]]
        people = [carrier for carrier in who if carrier["person"]]
        fixed = d["amount"] + d["per"] * len(people) + sum(use(c["uses"]) for c in people)
        each = {i: times * use(item["uses"]) for i, item in self.m["items"].items()}
        return times * fixed, {i: f for i, f in each.items() if f}

    def switched(self, value, on, most):
        """The value where `on` holds; at least zero elsewhere."""
        if isinstance(value, int):
            return value * on
        var = self.cp.new_int_var(0, most, "")
        self.cp.add(var >= value).only_enforce_if(on)
        return var

    def node(self, p, node, on):
        when = 1 if on is None else on
        if node[0] == "supply":
            self.demands.append((p, node[1], on))
        elif node[0] == "item":
            self.at_most(node[2] * when - self.there(node[1], p), 0)
        elif node[1] == len(node[2]):
            for child in node[2]:
                self.node(p, child, on)
        else:
            chosen = [self.cp.new_bool_var("") for _ in node[2]]
            for child, b in zip(node[2], chosen):
                self.node(p, child, b)
            self.at_most(node[1] * when - sum(chosen), 0)
