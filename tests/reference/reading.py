"""A move order as plain dictionaries of whole numbers.

Trusts the files: whether they are well formed is the tool's own business.
"""

from pathlib import Path

import yaml

import quantities as q

SLOTS = {"back": None, "chest": 1, "shoulder": 2, "belt": 2, "hand": 2}
GOALS = ["wants", "lightest", "even", "keeper", "hands"]


def load(path):
    return yaml.load(Path(path).read_text(encoding="utf-8"), Loader=yaml.BaseLoader)


def items(raw):
    out = {}
    for r in raw:
        shares = [q.percent(t) for t in r.get("pair-shares", ["50 %", "50 %"])]
        mass = q.mass(r["mass"])
        out[r["id"]] = {
            "mass": mass,
            "bulk": q.box(r["size"]) if "size" in r else q.bulk(r.get("bulk", "0 L")),
            "held": int(r.get("held", 1)),
            "ways": r.get("carry", ["back"]),
            "hands": int(r.get("hands", 1)),
            "ends": [q.ceil_div(mass * s, 10**6) for s in shares],
            "even": shares[0] == shares[1],
            "keeper": r.get("keeper"),
            "requires": r.get("requires", {}),
            "supplies": {s: q.amount(t) for s, t in r.get("supplies", {}).items()},
            "uses": {s: q.use(t) for s, t in r.get("uses", {}).items()},
            "contents": {i: int(n) for i, n in r.get("contents", {}).items()},
            "tags": r.get("tags", []),
        }
    bare = {"mass": 0, "bulk": 0, "held": 0, "ways": [], "hands": 1, "ends": [0, 0], "even": True}
    bare |= {"keeper": None, "requires": {}, "supplies": {}, "uses": {}, "contents": {}, "tags": []}
    for item in list(out.values()):
        for i in item["contents"]:
            out.setdefault(i, dict(bare))
    return out


def carriers(raw):
    out = {}
    for r in raw.get("people", []):
        body = q.mass(r["body-mass"]) if "body-mass" in r else 0
        limit = r["limit"].strip()
        share = limit.endswith("%")
        out[r["id"]] = {
            "person": True,
            "body": body,
            "limit": body * q.percent(limit) // 10**6 if share else q.mass(limit),
            "worn": q.mass(r.get("worn", "0 kg")),
            "room": q.bulk(r["pack"]) if "pack" in r else None,
            "duties": r.get("duties", []),
            "slots": SLOTS | {w: int(n) for w, n in r.get("slots", {}).items()},
            "uses": {s: q.use(t) for s, t in r.get("uses", {}).items()},
        }
    for r in raw.get("vehicles", []):
        out[r["id"]] = {
            "person": False,
            "limit": q.mass(r["payload"]),
            "room": q.bulk(r["bed"]) if "bed" in r else None,
            "seats": int(r.get("seats", 0)),
            "duties": [],
            "uses": {},
        }
    return out


def node(raw):
    """('item', id, n) | ('supply', {...}) | ('some', k, [nodes])"""
    if isinstance(raw, str):
        return ("item", raw, 1)
    if "item" in raw:
        return node(raw["item"])
    if "all" in raw:
        return ("some", len(raw["all"]), [node(r) for r in raw["all"]])
    if "any" in raw:
        return ("some", 1, [node(r) for r in raw["any"]])
    if "at-least" in raw:
        return ("some", int(raw["at-least"]), [node(r) for r in raw["of"]])
    if "supply" in raw:
        demand = {
            "supply": raw["supply"],
            "amount": q.amount(raw.get("amount", "0")),
            "per": q.amount(raw.get("per-person", "0")),
            "time": q.span(raw["for"]) if "for" in raw else None,
            "times": 10**6 + q.percent(raw.get("slack", "0 %")),
        }
        return ("supply", demand)
    leaves = [("item", i, int(n)) for i, n in raw.items()]
    return ("some", len(leaves), leaves)


def listed(value):
    return value if isinstance(value, list) else [value]


def move(path):
    """Everything that a plan has to answer."""
    raw = load(path)
    here = Path(path).parent
    equipment, crew = raw["equipment"], raw["carriers"]
    if isinstance(equipment, str):
        equipment = load(here / equipment)["equipment"]
    if isinstance(crew, str):
        crew = load(here / crew)
    m = {"items": items(equipment), "carriers": carriers(crew), "parties": {}}
    for p, r in raw["parties"].items():
        m["parties"][p] = {"foot": r["travel"] == "foot", "who": listed(r["who"])}
    m["store"] = raw.get("stays-with")
    m["needs"] = [
        (p, node({k: v for k, v in r.items() if k not in ("need", "priority")}))
        for p, list_ in raw.get("needs", {}).items()
        for r in list_
    ]
    m["need names"] = [r["need"] for list_ in raw.get("needs", {}).values() for r in list_]
    m["wants"] = []
    for p, list_ in raw.get("wants", {}).items():
        for i, w in list_.items():
            value, most = (w, 1) if isinstance(w, str) else (w["value"], w.get("up-to", 1))
            m["wants"].append((p, i, int(value), int(most)))
    m["goals"] = [
        (g, 0) if isinstance(g, str) else next((k, q.percent(v)) for k, v in g.items())
        for g in raw.get("goals", GOALS)
    ]
    seat(m)
    m["rules"] = [rule(r, m) for r in raw.get("rules", [])]
    return m


def seat(m):
    """Whose kit, in which party, and what is on each before any kit."""
    m["party"], m["burden"], m["kit"] = {}, {}, []
    for p, party in m["parties"].items():
        riders = [c for c in party["who"] if m["carriers"][c]["person"]]
        for c in party["who"]:
            m["party"][c] = p
            carrier = m["carriers"][c]
            if carrier["person"] and not party["foot"]:
                continue
            m["kit"].append(c)
            m["burden"][c] = carrier.get("worn", 0)
            if not carrier["person"] and not party["foot"]:
                aboard, riders = riders[: carrier["seats"]], riders[carrier["seats"] :]
                for r in aboard:
                    m["burden"][c] += m["carriers"][r]["body"] + m["carriers"][r]["worn"]


def rule(raw, m):
    def chosen(value):
        out = []
        for text in listed(value):
            tag = text.removeprefix("tag:")
            tagged = [i for i, item in m["items"].items() if tag in item["tags"]]
            out += tagged if text.startswith("tag:") else [text]
        return list(dict.fromkeys(out))

    def walking(c):
        return m["carriers"][c]["person"]  # of those who take kit

    outside = [c for c in m["kit"] if m["party"][c] != m["store"]]
    if "apart" in raw:
        return ("apart", chosen(raw["apart"]))
    if "together" in raw:
        return ("together", chosen(raw["together"]))
    if "at-most" in raw:
        who = listed(raw.get("for", outside))
        return ("at-most", int(raw["at-most"]), chosen(raw["of"]), who)
    if "fixed" in raw:
        return ("fixed", raw["fixed"], raw["to"], int(raw.get("count", 1)))
    if "keep-off" in raw:
        return ("keep-off", chosen(raw["keep-off"]), listed(raw["from"]))
    if "hands-free" in raw:
        who = listed(raw.get("for", [c for c in m["kit"] if walking(c)]))
        return ("hands-free", int(raw["hands-free"]), who)
    text = raw["reserve"].strip()
    share = text.endswith("%")
    value = q.percent(text) if share else q.mass(text)
    who = listed(raw.get("for", [c for c in outside if walking(c)]))
    return ("reserve", share, value, who)
