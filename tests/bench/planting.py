"""Rules that a given plan keeps, so that they leave a plan."""


def rules_around(r, items, parties, walkers, count):
    """About so many rules kept by `parties`: party -> carrier -> item -> units,
    all on the back. `walkers` are people on foot with no hand in use."""
    made = Around(r, items, parties, walkers)
    some = [made.apart, made.together, made.at_most, made.fixed, made.keep_off, made.hands_free]
    out = [{"reserve": "4 %"}, {"hands-free": 1, "for": made.walkers}]
    for k in range(count):
        rule = some[k % len(some)]()
        if rule:
            out.append(rule)
    return out


class Around:
    def __init__(self, r, items, parties, walkers):
        self.r, self.walkers = r, list(walkers)
        self.ids = [i["id"] for i in items]
        self.tags = {}
        for i in items:
            for tag in i.get("tags", []):
                self.tags.setdefault(tag, []).append(i["id"])
        self.parties = parties
        self.has = {c: units for party in parties.values() for c, units in party.items()}
        self.carriers = sorted(self.has)
        self.taken = set()  # in a `together` already

    def apart(self):
        """Kinds of which nobody has two, grown one by one."""
        want, kinds = self.r.randint(2, 4), []
        for i in self.r.sample(self.ids, min(len(self.ids), 40)):
            if all(sum(k in units for k in [*kinds, i]) <= 1 for units in self.has.values()):
                kinds.append(i)
            if len(kinds) == want:
                return {"apart": kinds}
        return None

    def together(self):
        """Kinds that are on one carrier wherever a party has them."""
        c = self.r.choice(self.carriers)
        where = {}
        for i in [i for i in self.has[c] if i not in self.taken]:
            where[i] = [d for d in self.carriers if i in self.has[d]]
        alone = sorted(i for i, who in where.items() if who == [c])
        if len(alone) < 2:
            return None
        chosen = self.r.sample(alone, min(len(alone), self.r.randint(2, 3)))
        self.taken.update(chosen)
        return {"together": chosen}

    def at_most(self):
        kinds = self.r.sample(self.ids, min(len(self.ids), self.r.randint(3, 8)))
        who = self.some(self.carriers)
        most = max(sum(self.has[c].get(i, 0) for i in kinds) for c in who)
        return {"at-most": max(most, 1), "of": kinds, "for": who}

    def fixed(self):
        c = self.r.choice(self.carriers)
        if not self.has[c]:
            return None
        return {"fixed": self.r.choice(sorted(self.has[c])), "to": c}

    def keep_off(self):
        c = self.r.choice(self.carriers)
        for tag in self.r.sample(sorted(self.tags), len(self.tags)):
            if not any(i in self.has[c] for i in self.tags[tag]):
                return {"keep-off": [f"tag:{tag}"], "from": [c]}
        free = [i for i in self.r.sample(self.ids, min(len(self.ids), 5)) if i not in self.has[c]]
        return {"keep-off": free, "from": [c]} if free else None

    def hands_free(self):
        return {"hands-free": self.r.randint(1, 2), "for": self.some(self.walkers)}

    def some(self, carriers):
        return sorted(self.r.sample(carriers, self.r.randint(1, min(4, len(carriers)))))
