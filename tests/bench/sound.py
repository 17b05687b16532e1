"""Whether every made-up move has a plan: the one that it was made around.

    pip install -r tests/reference/requirements.txt
    python tests/bench/sound.py [SEED...]

The reference reads the move and is held to that plan. A line for each move; the
exit status is 1 if one has no such plan.
"""

import sys
import tempfile
from pathlib import Path

from ortools.sat.python import cp_model

from compact import Model, reading
from families import FAMILIES


class Held(Model):
    """The reference with no column but those of a plan."""

    def __init__(self, move, plan):
        self.plan = plan
        super().__init__(move)

    def columns(self):
        for key, n in self.plan.items():
            into = self.alone if key[2] not in self.m["carriers"] else self.pairs
            into[key] = self.cp.new_int_var(n, n, " ".join(key))
            if any(self.kept_off(key[0], c) for c in key[1:] if c in self.m["carriers"]):
                self.cp.add_bool_or([])


def main():
    wrong = 0
    path = Path(tempfile.mkdtemp()) / "made.move.yaml"
    for seed in map(int, sys.argv[1:] or ["1"]):
        for make in FAMILIES.values():
            for instance in make(seed):
                path.write_text(instance.text(), encoding="utf-8")
                solver = cp_model.CpSolver()
                status = solver.solve(Held(reading.move(path), instance.plan).cp)
                sound = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
                wrong += not sound
                print("ok  " if sound else "FAIL", instance.family, instance.name, seed, flush=True)
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
