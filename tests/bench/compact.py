"""The compact model of a move for its first goal: counts by item, carrier and way.

The columns and rows are those of `tests/reference/model.py`. The same model
goes to CP-SAT as it is and to the others as a linear program in whole numbers.
"""

import sys
from dataclasses import dataclass, field
from math import gcd
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "reference"))

import reading
from model import ALONE, Model

# Parts of a share in the model of CP-SAT, which knows whole numbers only.
PARTS = 10**6


@dataclass
class Program:
    """Minimise `aim` over columns (least, most, whole) and rows (columns,
    factors, least, most). The goal's value is `scale` times the aim."""

    columns: list = field(default_factory=list)
    rows: list = field(default_factory=list)
    aim: list = field(default_factory=list)  # (column, factor)
    offset: float = 0.0
    scale: float = 1.0


@dataclass
class Compact:
    goal: str
    cp: object  # a CP-SAT model with its objective
    cp_scale: float  # the goal's value is this times the objective
    program: Program
    near: float  # values this close are the same


def size(move):
    """How many columns the model has."""
    people = [c for c in move["kit"] if move["carriers"][c]["person"]]
    parties = {}
    for c in people:
        parties.setdefault(move["party"][c], []).append(c)
    two = sum(len(who) * (len(who) - 1) // 2 for who in parties.values())
    total = 0
    for item in move["items"].values():
        if item["held"]:
            ways = sum(w in item["ways"] for w in ALONE)
            total += ways * len(people) + len(move["kit"]) - len(people)
            if "pair" in item["ways"]:
                total += two * (1 if item["even"] else 2)
    return total


def build(path, most):
    """None if there would be more columns than `most`."""
    move = reading.move(path)
    if size(move) > most:
        return None
    goal, model = move["goals"][0][0], Model(move)
    if goal == "even":
        return even(model)
    aim = model.objective(goal)
    if goal == "wants":
        model.cp.maximize(aim)
    else:
        model.cp.minimize(aim)
    scale = model.step / 1000 if goal == "lightest" else 1.0
    return Compact(goal, model.cp, scale, linear(model.cp, scale), scale / 2)


def even(model):
    who = model.evened()
    limits = {c: model.carrier(c)["limit"] for c in who}
    burdens = {c: model.m["burden"][c] for c in who}
    if len(set(limits.values())) == 1 and not any(burdens.values()):
        # Equal limits: the largest load, in steps, says it all.
        limit = limits[who[0]]
        top = model.cp.new_int_var(0, limit // model.step, "top")
        for c in who:
            model.cp.add(model.kit_steps(c) <= top)
        model.cp.minimize(top)
        scale = model.step / limit
        return Compact("even", model.cp, scale, linear(model.cp, scale), scale / 2)
    program = linear(model.cp, 1.0)
    program.columns.append((0.0, 1.0, False))
    top = len(program.columns) - 1
    program.aim = [(top, 1.0)]
    for c in who:
        terms = [(v.index, steps * model.step / limits[c]) for v, steps in model.kit_terms(c)]
        terms.append((top, -1.0))
        program.rows.append((*zip(*terms), float("-inf"), -burdens[c] / limits[c]))
    model.cp.minimize(peak_column(model))
    return Compact("even", model.cp, 1 / PARTS, program, 1.5 / PARTS)


def peak_column(model):
    """The largest share, in parts, rounded up."""
    who = model.evened()
    limits = {c: model.carrier(c)["limit"] for c in who}
    burdens = {c: model.m["burden"][c] for c in who}
    unit = gcd(model.step, *limits.values(), *burdens.values())
    part = model.cp.new_int_var(0, PARTS, "part")
    for c in who:
        load = model.kit_steps(c) * (model.step // unit) + burdens[c] // unit
        model.cp.add(PARTS * load <= limits[c] // unit * part)
    return part


def linear(cp, scale):
    """The rows of a CP-SAT model; what holds only under a condition, by the
    widest that its columns allow."""
    proto, out = cp.proto, Program(scale=scale)
    for v in proto.variables:
        ends = list(v.domain)
        out.columns.append((float(ends[0]), float(ends[-1]), True))
    for c in proto.constraints:
        when = list(c.enforcement_literal)
        if c.has_linear():
            ends = list(c.linear.domain)
            low, high = ends[0], ends[-1]
            add(out, list(c.linear.vars), list(c.linear.coeffs), low, high, when)
        elif c.has_bool_or():
            literals(out, list(c.bool_or.literals), 1, None, when)
        elif c.has_exactly_one():
            literals(out, list(c.exactly_one.literals), 1, 1, when)
        elif c.has_at_most_one():
            literals(out, list(c.at_most_one.literals), None, 1, when)
        else:
            raise NotImplementedError(str(c))
    aim = proto.objective
    if len(aim.vars):
        # A maximum is kept as the minimum of the negative, scaled by -1.
        factor = aim.scaling_factor or 1.0
        out.aim = list(zip(aim.vars, map(float, aim.coeffs)))
        out.offset, out.scale = aim.offset, scale * factor
    return out


def literals(out, chosen, low, high, when):
    """Between `low` and `high` of the literals hold; -v-1 is v's opposite."""
    columns = [v if v >= 0 else -v - 1 for v in chosen]
    factors = [1 if v >= 0 else -1 for v in chosen]
    shift = sum(v < 0 for v in chosen)
    low = None if low is None else low - shift
    high = None if high is None else high - shift
    add(out, columns, factors, low, high, when)


def add(out, columns, factors, low, high, when):
    far = 2**61
    ends = [out.columns[v][:2] for v in columns]
    least = sum(f * (a if f > 0 else b) for f, (a, b) in zip(factors, ends))
    most = sum(f * (b if f > 0 else a) for f, (a, b) in zip(factors, ends))
    if high is not None and high < far and most > high:
        row(out, columns, factors, high, most - high, when)
    if low is not None and low > -far and least < low:
        row(out, columns, [-f for f in factors], -low, low - least, when)


def row(out, columns, factors, most, slack, when):
    """At most `most`, or `slack` more for each condition that does not hold."""
    columns, factors = list(columns), list(map(float, factors))
    for literal in when:
        columns.append(literal if literal >= 0 else -literal - 1)
        factors.append(slack if literal >= 0 else -slack)
        most += slack if literal >= 0 else 0
    out.rows.append((columns, factors, float("-inf"), float(most)))
