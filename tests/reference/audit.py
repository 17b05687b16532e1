"""Holds a printed plan against the documents, in exact numbers.

Counts are read from the report; masses, room, hands, needs, supplies, rules and
goals are worked out anew from the move, and each number that the report prints
must be what comes out. Shares no code with the model of `model.py`, so that each
checks the other. `audit` gives sentences on what is wrong; none is well.
"""

from fractions import Fraction as F

import quantities as q
from known import HALF, known, number
from needs import Party

PPM = 10**6


def mg(grams):
    return number(grams) * 1000


class Audit:
    def __init__(self, move, plan):
        self.m, self.plan, self.faults = move, plan, []
        self.on, self.ways = {}, {}  # (item, carrier) -> units; (item, carrier, way) -> units
        self.pairs = []  # (item, one, mass on one, other, mass on other), in the order of the report
        self.mass = {c: 0 for c in move["kit"]}
        self.units = {p: {} for p in move["parties"]}  # loose ones
        self.read()
        if not self.faults:
            self.pair_up()
            self.held()
            self.limits()
            self.parties = {
                p: Party(move, p, self.units[p], p == move["store"]) for p in move["parties"]
            }
            self.asked()
            self.rules()
            self.goals()

    def hold(self, true, text):
        if not true:
            self.faults.append(text)

    def same(self, what, printed, true):
        self.hold(printed == true, f"{what} is printed as {printed} and is {true}")

    def carrier(self, c):
        return self.m["carriers"][c]

    # ---- what is where -------------------------------------------------------
    def read(self):
        listed = [c["id"] for c in self.plan["carriers"]]
        there = [c for party in self.m["parties"].values() for c in party["who"]]
        self.hold(sorted(listed) == sorted(there), f"carriers {listed} are printed, and {there} go")
        for carrier in self.plan["carriers"]:
            for line in carrier["items"]:
                self.line(carrier["id"], line)

    def line(self, c, line):
        i, way, n = line["id"], line["way"], line["count"]
        item = self.m["items"].get(i)
        if item is None or c not in self.m["kit"] or n < 1:
            self.faults.append(f"{c} has {n} {i}, which cannot be")
            return
        ways = item["ways"] if self.carrier(c)["person"] else ["bed"]
        person = self.carrier(c)["person"]
        self.hold(way in ways and (way != "bed" or not person), f"{c} has {i} by way of {way}")
        self.on[i, c] = self.on.get((i, c), 0) + n
        self.ways[i, c, way] = self.ways.get((i, c, way), 0) + n
        self.mass[c] += mg(line["mass_g"])
        if way == "pair":
            self.hold(n == 1, f"{c} carries {n} {i} in a pair")
            self.pairs.append((i, c, line.get("with"), mg(line["mass_g"])))
            return
        self.same(f"mass of {i} on {c}", mg(line["mass_g"]), n * item["mass"])
        mine = self.units[self.m["party"][c]]
        mine[i] = mine.get(i, 0) + n

    def pair_up(self):
        """Each end has its other, and each person is in one pair."""
        who = [c for _, c, _, _ in self.pairs]
        self.hold(len(set(who)) == len(who), "somebody is in two pairs")
        ends = {(i, c): (other, mass) for i, c, other, mass in self.pairs}
        for (i, c), (other, mass) in ends.items():
            back, theirs = ends.get((i, other), (None, 0))
            self.hold(back == c, f"{c} carries {i} with {other}, who does not")
            if back != c or c > other:
                continue
            party = self.m["party"][c]
            self.hold(party == self.m["party"][other], f"{c} and {other} carry {i}, of two parties")
            ends_ = sorted([mass, theirs])
            self.same(f"ends of {i}", ends_, sorted(self.m["items"][i]["ends"]))
            self.units[party][i] = self.units[party].get(i, 0) + 1

    def held(self):
        store, left = self.m["store"], {}
        for line in self.plan["left"]:
            left[line["id"]] = left.get(line["id"], 0) + line["count"]
            self.same(f"where {line['id']} is left", line["where"], store)
        for i, item in self.m["items"].items():
            out = sum(mine.get(i, 0) for p, mine in self.units.items() if p != store)
            self.hold(out <= item["held"], f"{out} {i} are taken, {item['held']} are held")
            self.same(f"how many {i} are left", left.get(i, 0), item["held"] - out)
            if store:
                self.same(f"how many {i} the store has", self.units[store].get(i, 0), item["held"] - out)

    # ---- limits --------------------------------------------------------------
    def usable(self, c):
        """The limit less what is kept back, in whole mg."""
        limit = self.carrier(c)["limit"]
        kept = 0
        for r in self.m["rules"]:
            if r[0] == "reserve" and c in r[3]:
                kept += q.ceil_div(limit * r[2], PPM) if r[1] else r[2]
        return max(limit - kept, 0)

    def hands(self, c):
        items = self.m["items"]
        by_hand = sum(items[i]["hands"] * n for (i, k, w), n in self.ways.items() if (k, w) == (c, "hand"))
        return by_hand + sum(n for (_, k, w), n in self.ways.items() if (k, w) == (c, "pair"))

    def limits(self):
        riding = self.riders()
        for told in self.plan["carriers"]:
            c = told["id"]
            carrier = self.carrier(c)
            self.same(f"party of {c}", told["party"], self.m["party"][c])
            self.same(f"what {c} rides in", told["rides_in"], riding.get(c))
            self.same(f"limit of {c}", mg(told["limit_g"]), carrier["limit"])
            if c not in self.m["kit"]:
                continue
            load, usable = self.m["burden"][c] + self.mass[c], self.usable(c)
            self.hold(load <= usable, f"{c} bears {load} mg of {usable}")
            self.same(f"load of {c}", mg(told["load_g"]), load)
            self.same(f"burden of {c}", mg(told["burden_g"]), self.m["burden"][c])
            self.same(f"usable limit of {c}", mg(told["usable_g"]), usable)
            share = F(load, carrier["limit"]) if carrier["limit"] else F(0)
            self.hold(abs(number(told["share"]) - share) <= HALF, f"share of {c} is {float(share):.8f}")
            way = "back" if carrier["person"] else "bed"
            mine = {i: n for (i, k, w), n in self.ways.items() if (k, w) == (c, way)}
            bulk = sum(self.m["items"][i]["bulk"] * n for i, n in mine.items())
            self.same(f"bulk on {c}", told["bulk_ml"], bulk)
            self.same(f"room of {c}", told["room_ml"], carrier["room"])
            self.hold(carrier["room"] is None or bulk <= carrier["room"], f"{c} has {bulk} mL of {carrier['room']}")
            if carrier["person"]:
                self.slots(c, told)

    def slots(self, c, told):
        slots = self.carrier(c)["slots"]
        for way in ["back", "chest", "shoulder", "belt"]:
            n = sum(n for (_, k, w), n in self.ways.items() if (k, w) == (c, way))
            self.hold(slots[way] is None or n <= slots[way], f"{c} has {n} things on {way}, of {slots[way]}")
        keep = [r[1] for r in self.m["rules"] if r[0] == "hands-free" and c in r[2]]
        free = slots["hand"] - self.hands(c)
        self.same(f"free hands of {c}", told["hands_free"], free)
        self.hold(free >= max(keep, default=0), f"{c} has {free} hands free, {keep} are asked")

    def riders(self):
        """Who rides in what: in the order written, the first vehicle first."""
        out = {}
        for party in self.m["parties"].values():
            if party["foot"]:
                continue
            seats = [
                c for c in party["who"] if not self.carrier(c)["person"] for _ in range(self.carrier(c)["seats"])
            ]
            people = [c for c in party["who"] if self.carrier(c)["person"]]
            out |= dict(zip(people, seats))
        return out

    # ---- what is asked -----------------------------------------------------
    def asked(self):
        self.same(
            "needs",
            [(n["party"], n["name"], n["met"]) for n in self.plan["needs"]],
            [(p, name, True) for (p, _), name in zip(self.m["needs"], self.m["need names"])],
        )
        for p, party in self.parties.items():
            self.faults += party.lacks()
        told = {}
        for s in self.plan["supplies"]:
            told.setdefault(s["party"], {})[s["id"]] = (s["there"], s["demand"])
            self.same(f"margin of {s['id']}", s["margin"], s["there"] - s["demand"])
        for p, party in self.parties.items():
            if not party.may_ask(told.get(p, {})):
                self.faults.append(f"supplies of {p} are printed as {told.get(p, {})}, and no choice of lines asks that")
        for n in self.plan["needs"]:
            party = self.parties[n["party"]]
            for by in n["by"]:
                if by["kind"] == "item":
                    self.same(f"how many {by['id']} are there", by["there"], party.there(by["id"]))
                    self.same(f"how many {by['id']} are in cases", by["in_cases"], party.cased(by["id"]))
                    self.hold(by["asked"] <= by["there"], f"{by['asked']} {by['id']} are asked for and not there")

    # ---- rules -----------------------------------------------------------------
    def rules(self):
        outside = [c for c in self.m["kit"] if self.m["party"][c] != self.m["store"]]
        for r in self.m["rules"]:
            kind = r[0]
            if kind == "apart":
                for c in outside:
                    kinds = [i for i in r[1] if self.on.get((i, c))]
                    self.hold(len(kinds) <= 1, f"{c} has {kinds}, which are to be apart")
            elif kind == "together":
                for p in {self.m["party"][c] for c in outside}:
                    self.together(r[1], p)
            elif kind == "at-most":
                for c in r[3]:
                    n = sum(self.on.get((i, c), 0) for i in r[2])
                    self.hold(n <= r[1], f"{c} has {n} of {r[2]}, {r[1]} at most")
            elif kind == "fixed":
                n = self.on.get((r[1], r[2]), 0)
                self.hold(n >= r[3], f"{r[2]} has {n} {r[1]}, {r[3]} are fixed")
            elif kind == "keep-off":
                for c in r[2]:
                    bad = [i for i in r[1] if self.on.get((i, c))]
                    self.hold(not bad, f"{c} has {bad}, which are to be kept off")

    def together(self, items, p):
        """One carrier has all that goes of these, be it as one of a pair."""
        whole = sum(self.units[p].get(i, 0) for i in items)
        most = max(sum(self.on.get((i, c), 0) for i in items) for c in self.m["kit"] if self.m["party"][c] == p)
        self.hold(most == whole, f"{p}: {items} are not on one carrier")

    # ---- goals -----------------------------------------------------------------
    def goals(self):
        self.same("goals", [g["name"] for g in self.plan["goals"]], [g for g, _ in self.m["goals"]])
        worth = {"wants": self.wants(), "lightest": F(self.outside(), 1000), "even": self.peak()}
        worth |= {"keeper": self.away(), "hands": self.in_use()}
        for goal in self.plan["goals"]:
            off = HALF if goal["name"] == "even" else 0
            value, true = number(goal["value"]), worth[goal["name"]]
            self.hold(abs(value - true) <= off, f"{goal['name']} is printed as {goal['value']} and is {float(true)}")
        self.same("value of wants", self.plan["wants_value"], worth["wants"])
        self.same("what is carried", number(self.plan["total_carried_g"]), worth["lightest"])
        bounds = {g["name"]: g["bound"] for g in self.plan["goals"]}
        self.same("bound of the peak share", self.plan["peak_share_bound"], bounds.get("even"))
        peak = number(self.plan["peak_share"])
        self.hold(abs(peak - worth["even"]) <= HALF, f"peak share is {float(worth['even']):.8f}")

    def wants(self):
        total, told = 0, self.plan["wants"]
        self.same("wants", [(w["party"], w["id"], w["value"], w["up_to"]) for w in told], self.m["wants"])
        for (p, i, value, most), line in zip(self.m["wants"], told):
            taken = min(most, self.parties[p].there(i))
            self.same(f"how many {i} of the wants are taken", line["taken"], taken)
            total += value * taken
        return total

    def outside(self):
        parties = [mine for p, mine in self.units.items() if p != self.m["store"]]
        return sum(self.m["items"][i]["mass"] * n for mine in parties for i, n in mine.items())

    def peak(self):
        out = [c for c in self.m["kit"] if self.m["party"][c] != self.m["store"]]
        people = [c for c in out if self.carrier(c)["person"]]
        loads = {c: self.m["burden"][c] + self.mass[c] for c in people or out}
        return max((F(n, self.carrier(c)["limit"]) for c, n in loads.items() if n), default=F(0))

    def away(self):
        """Things on foot that no holder of their keeper's duty has a hand on."""
        total = 0
        for p, party in self.m["parties"].items():
            who = [c for c in party["who"] if c in self.m["kit"]]
            for i, n in self.units[p].items() if party["foot"] else ():
                duty = self.m["items"][i]["keeper"]
                keeps = [c for c in who if duty in self.carrier(c)["duties"]]
                if duty and keeps:
                    both = sum(1 for j, a, b, _ in self.pairs if j == i and a in keeps and b in keeps)
                    total += n - sum(self.on.get((i, c), 0) for c in keeps) + both // 2
        return total

    def in_use(self):
        return sum(self.hands(c) for c in self.m["kit"] if self.carrier(c)["person"])


def audit(move, plan, gap="0.5%"):
    return Audit(move, plan).faults + known(plan, number(gap.rstrip("%")), move["goals"])
