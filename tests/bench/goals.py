"""CP-SAT on the compact model of a move, one goal after the other."""

import time

from ortools.sat.python import cp_model

import compact
import rivals
from model import PPM, Model


def one_after_other(move, limit, asked):
    """(whether a plan exists, (value, bound) of the first goal, seconds); what is
    not known is None.

    Each goal to within `asked` percent, what it has is held for the next, and the
    clock starts when the model is built. Seconds only if all goals came so far.
    """
    model = Model(move)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = rivals.THREADS
    solver.parameters.random_seed = 1
    solver.parameters.relative_gap_limit = asked / 100
    aims = [(name, give, *aim(model, name)) for name, give in move["goals"]]
    start, there, first = time.perf_counter(), None, None
    for k, (name, give, column, scale) in enumerate(aims):
        left = limit - (time.perf_counter() - start)
        if left <= 0:
            return there, first, None
        if isinstance(column, int):
            model.cp.clear_objective()
        else:
            model.cp.maximize(column) if name == "wants" else model.cp.minimize(column)
        solver.parameters.max_time_in_seconds = left
        status = solver.solve(model.cp)
        if status == cp_model.MODEL_INVALID:
            raise RuntimeError(model.cp.validate())
        if status == cp_model.INFEASIBLE and k == 0:
            return False, None, time.perf_counter() - start
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return there, first, None
        there = True
        value, bound = column, column
        if not isinstance(column, int):
            value, bound = round(solver.objective_value), solver.best_objective_bound
            hold(model, name, give, column, value)
        if k == 0:
            first = value * scale, bound * scale
        if status == cp_model.FEASIBLE:
            return there, first, None
    return there, first, time.perf_counter() - start


def aim(model, name):
    """(column, what one of it is of the goal as it is printed)"""
    if name == "even":
        return compact.peak_column(model), 1 / compact.PARTS
    return model.objective(name), model.step / 1000 if name == "lightest" else 1.0


def hold(model, name, give, column, value):
    part = value * give // PPM
    model.cp.add(column >= value - part) if name == "wants" else model.cp.add(column <= value + part)


def unlike(move, run, there, first):
    """A sentence if ours and CP-SAT cannot both be right."""
    if run.status == "no-plan":
        return "no plan, and CP-SAT has one" if there else ""
    if run.value is None:
        return ""
    if there is False:
        return "a plan, and CP-SAT has none"
    if first is None:
        return ""
    sign = -1 if move["goals"][0][0] == "wants" else 1
    (value, bound), near = first, 2 / compact.PARTS
    if sign * value < sign * run.bound - near * max(1, abs(run.bound)):
        return f"bound {run.bound}, and CP-SAT has {value:g}"
    if sign * run.value < sign * bound - near * max(1, abs(bound)):
        return f"{run.value}, and the bound of CP-SAT is {bound:g}"
    return ""
