"""General solvers on the compact model, and when they had what ours has."""

import time
from dataclasses import dataclass, field
from math import floor

THREADS = 2


@dataclass
class Rival:
    """What a solver has, and from its start the seconds it took to be as good
    as `ours`, and also within `asked` percent of its bound. It is stopped then."""

    up: bool  # more is better
    near: float  # values this close are the same
    ours: float
    asked: float
    limit: float
    value: float | None = None
    bound: float | None = None
    reached: float | None = None
    settled: float | None = None
    start: float = field(default_factory=time.perf_counter)

    def see(self, value=None, bound=None):
        """Takes note of a plan's value or a bound; whether that is enough."""
        better, nearer = (max, min) if self.up else (min, max)
        now = time.perf_counter() - self.start
        if value is not None and abs(value) < 1e15:
            self.value = value if self.value is None else better(self.value, value)
        if bound is not None and abs(bound) < 1e15:
            if self.up:
                bound = floor(bound + 1e-6)
            self.bound = bound if self.bound is None else nearer(self.bound, bound)
        if now > self.limit + 0.5 or self.value is None:
            return False
        worse = self.ours - self.value if self.up else self.value - self.ours
        if worse > self.near:
            return False
        if self.reached is None:
            self.reached = now
        if self.settled is None and self.bound is not None:
            enough = self.asked / 100 * max(abs(self.value), abs(self.bound))
            if abs(self.value - self.bound) <= max(enough, self.near):
                self.settled = now
        return self.settled is not None

    def __str__(self):
        def shown(x):
            return "none" if x is None else f"{x:.8g}"

        times = f"reached {shown(self.reached)} s, settled {shown(self.settled)} s"
        return f"{shown(self.value)}, bound {shown(self.bound)}, {times}"


def solve(name, compact, limit, ours, asked):
    rival = Rival(compact.goal == "wants", compact.near, ours, asked, limit)
    {"cp-sat": cp_sat, "highs": highs, "scip": scip}[name](compact, rival)
    return rival


def cp_sat(compact, rival):
    from ortools.sat.python import cp_model

    scale = compact.cp_scale
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = rival.limit
    solver.parameters.num_workers = THREADS
    solver.parameters.random_seed = 1

    class Watch(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self):
            if rival.see(self.objective_value * scale, self.best_objective_bound * scale):
                self.stop_search()

    def on_bound(bound):
        if rival.see(bound=bound * scale):
            solver.stop_search()

    solver.best_bound_callback = on_bound
    rival.start = time.perf_counter()
    status = solver.solve(compact.cp, Watch())
    if status == cp_model.MODEL_INVALID:
        raise RuntimeError(compact.cp.validate())
    if status == cp_model.INFEASIBLE:
        raise RuntimeError("CP-SAT says that no plan exists")
    if status == cp_model.OPTIMAL:
        rival.see(solver.objective_value * scale, solver.objective_value * scale)


def highs(compact, rival):
    import highspy
    import numpy as np

    program = compact.program
    h = highspy.Highs()
    h.setOptionValue("output_flag", False)
    for option, value in [("threads", THREADS), ("time_limit", rival.limit), ("mip_rel_gap", 0.0)]:
        h.setOptionValue(option, value)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(program.columns), len(program.rows)
    lp.col_lower_ = np.array([c[0] for c in program.columns])
    lp.col_upper_ = np.array([c[1] for c in program.columns])
    kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
    lp.integrality_ = [kinds[whole] for _, _, whole in program.columns]
    cost = np.zeros(lp.num_col_)
    for column, factor in program.aim:
        cost[column] += factor
    lp.col_cost_, lp.offset_ = cost, program.offset
    lp.row_lower_ = np.array([-highspy.kHighsInf] * lp.num_row_)
    lp.row_upper_ = np.array([r[3] for r in program.rows])
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.cumsum([0, *(len(r[0]) for r in program.rows)])
    lp.a_matrix_.index_ = np.array([v for r in program.rows for v in r[0]])
    lp.a_matrix_.value_ = np.array([f for r in program.rows for f in r[1]], dtype=float)
    if h.passModel(lp) == highspy.HighsStatus.kError:
        raise RuntimeError("HiGHS refuses the model")

    def improving(event):
        rival.see(event.data_out.objective_function_value * program.scale)

    def stop(event):
        bound = event.data_out.mip_dual_bound * program.scale
        if rival.see(bound=bound):
            event.interrupt()

    h.cbMipImprovingSolution.subscribe(improving)
    h.cbMipInterrupt.subscribe(stop)
    rival.start = time.perf_counter()
    h.run()
    status, info = h.getModelStatus(), h.getInfo()
    if status == highspy.HighsModelStatus.kInfeasible:
        raise RuntimeError("HiGHS says that no plan exists")
    if info.primal_solution_status == 2:
        value = info.objective_function_value * program.scale
        done = status == highspy.HighsModelStatus.kOptimal
        rival.see(value, value if done else info.mip_dual_bound * program.scale)


def scip(compact, rival):
    from pyscipopt import SCIP_EVENTTYPE, Eventhdlr, Model, quicksum

    program = compact.program
    m = Model()
    m.hideOutput()
    m.setParam("limits/time", rival.limit)
    m.setParam("lp/threads", THREADS)
    columns = [m.addVar(lb=a, ub=b, vtype="I" if whole else "C") for a, b, whole in program.columns]
    for indices, factors, _, most in program.rows:
        m.addCons(quicksum(f * columns[v] for v, f in zip(indices, factors)) <= most)
    m.setObjective(quicksum(f * columns[v] for v, f in program.aim) + program.offset, "minimize")

    class Watch(Eventhdlr):
        kinds = SCIP_EVENTTYPE.BESTSOLFOUND | SCIP_EVENTTYPE.NODESOLVED | SCIP_EVENTTYPE.LPSOLVED

        def eventinit(self):
            self.model.catchEvent(self.kinds, self)

        def eventexit(self):
            self.model.dropEvent(self.kinds, self)

        def eventexec(self, event):
            value = self.model.getPrimalbound() * program.scale
            if rival.see(value, self.model.getDualbound() * program.scale):
                self.model.interruptSolve()

    m.includeEventhdlr(Watch(), "watch", "notes when plans and bounds came")
    rival.start = time.perf_counter()
    m.optimize()
    if m.getStatus() == "infeasible":
        raise RuntimeError("SCIP says that no plan exists")
    if m.getNSols():
        rival.see(m.getPrimalbound() * program.scale, m.getDualbound() * program.scale)
