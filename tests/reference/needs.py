"""Whether what a party has meets its needs, requirements and supplies."""

from fractions import Fraction as F
from itertools import product

PPM = 10**6


class Party:
    def __init__(self, move, p, units, store):
        self.m, self.p, self.units, self.store = move, p, units, store
        self.inside = {}
        for i, n in units.items():
            for deep, k in self.contents(i).items():
                self.inside[deep] = self.inside.get(deep, 0) + n * k
        self.trees = [node for q, node in move["needs"] if q == p]
        self.demands, self.optional = [], []
        for tree in self.trees:
            self.gather(tree, False)

    def contents(self, i):
        """All that is packed in one of it, at whatever depth."""
        out = {}
        for inner, n in self.m["items"][i]["contents"].items():
            out[inner] = out.get(inner, 0) + n
            for deep, k in self.contents(inner).items():
                out[deep] = out.get(deep, 0) + n * k
        return out

    def cased(self, i):
        return self.inside.get(i, 0)

    def there(self, i):
        return self.units.get(i, 0) + self.cased(i)

    # ---- requirements ----------------------------------------------------------
    def requires(self):
        out, asked = [], {}
        for i, item in self.m["items"].items():
            for other, how in item["requires"].items():
                if self.store or not self.there(i):
                    continue
                if how == "shared":
                    asked.setdefault(other, 0)
                    if not self.there(other):
                        out.append(f"{self.p}: {i} requires {other}, and there is none")
                else:
                    asked[other] = asked.get(other, 0) + int(how) * self.there(i)
        short = {i: n for i, n in asked.items() if n > self.there(i)}
        return out + [f"{self.p}: {n} {i} are required, {self.there(i)} are there" for i, n in short.items()]

    # ---- supplies -----------------------------------------------------------
    def gather(self, node, optional):
        """The demands, and which of them count only if relied on."""
        if node[0] == "supply":
            (self.optional if optional else self.demands).append(node[1])
        elif node[0] == "some":
            for child in node[2]:
                self.gather(child, optional or node[1] < len(node[2]))

    def supply(self, s):
        gives = {i: item["supplies"].get(s, 0) for i, item in self.m["items"].items()}
        return sum(n * self.there(i) for i, n in gives.items())

    def amount(self, d):
        """What a demand asks for, exactly."""
        people = [self.m["carriers"][c] for c in self.m["parties"][self.p]["who"]]
        people = [c for c in people if c["person"]]
        total = F(d["amount"] + d["per"] * len(people))
        users = [(c["uses"], 1) for c in people]
        users += [(item["uses"], self.there(i)) for i, item in self.m["items"].items()]
        for uses, n in users:
            if n and d["supply"] in uses:
                amount, per = uses[d["supply"]]
                total += n * (F(amount) if per is None else F(amount * (d["time"] or 0), per))
        return total * F(d["times"], PPM)

    def sums(self, relied):
        """By supply: what is there, and what is asked for, rounded up."""
        asked = {}
        for d in self.demands + relied:
            asked[d["supply"]] = asked.get(d["supply"], 0) + self.amount(d)
        return {s: (self.supply(s), -(-n.numerator // n.denominator)) for s, n in asked.items()}

    def choices(self):
        """The demands relied on, in every way in which all needs hold."""
        for on in product([True, False], repeat=len(self.optional)):
            relied = [d for d, chosen in zip(self.optional, on) if chosen]
            # Only by identity: two lines may ask for the same.
            ids = {id(d) for d in self.demands + relied}
            if all(self.holds(tree, ids) for tree in self.trees):
                yield self.sums(relied)

    def holds(self, node, relied):
        if node[0] == "supply":
            return id(node[1]) in relied
        if node[0] == "item":
            return self.there(node[1]) >= node[2]
        return sum(self.holds(child, relied) for child in node[2]) >= node[1]

    # ---- answers -------------------------------------------------------------
    def lacks(self):
        met = any(all(there >= asked for there, asked in sums.values()) for sums in self.choices())
        return self.requires() + ([] if met else [f"{self.p}: its needs are not met"])

    def may_ask(self, told):
        """Whether a report of (there, asked) by supply is one of a choice that holds."""
        return any(
            sums == told and all(there >= asked for there, asked in sums.values()) for sums in self.choices()
        )
