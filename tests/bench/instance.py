"""A move order to be timed, and what is known and asked of it."""

import json
from dataclasses import dataclass, field


@dataclass
class Target:
    """What must hold of our run; what is None is not asked."""

    seconds: float | None = None  # whole process; where the run's limit says it, none
    gap: float | None = None  # percent, of our own bound
    off: float | None = None  # percent, of the best possible value
    proven: bool = False
    mebibytes: float | None = None


@dataclass
class Instance:
    family: str
    name: str
    body: dict  # as in a move order
    best: float | None = None  # the optimum of the first goal, as the report prints it
    scale: float = 1  # a value of the first goal times this is in the units of `best`
    gap: float = 0.0  # percent, to ask for
    target: Target = field(default_factory=Target)
    limit: float | None = None  # seconds that a run is given, whatever is asked for
    compare: bool = True  # also with the solvers
    # The plan it was made around: (item, carrier, way) or (item, person, person) -> units.
    plan: dict = field(default_factory=dict)

    @property
    def goal(self):
        return self.body["goals"][0]

    def text(self):
        """YAML's flow style, which JSON is: an entry of a list a line."""
        lines = [f"move: {json.dumps(f'{self.family} {self.name}')}"]
        for key, value in self.body.items():
            if isinstance(value, list) and value and isinstance(value[0], dict):
                lines += [f"{key}:", *(f"  - {json.dumps(entry)}" for entry in value)]
            elif isinstance(value, dict):
                lines.append(f"{key}:")
                for inner, entry in value.items():
                    lines += block(inner, entry)
            else:
                lines.append(f"{key}: {json.dumps(value)}")
        return "\n".join(lines) + "\n"


def block(key, value):
    """An entry of a mapping; long lists and mappings a line for each."""
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return [f"  {key}:", *(f"    - {json.dumps(entry)}" for entry in value)]
    if isinstance(value, dict) and len(value) > 8:
        return [f"  {key}:", *(f"    {k}: {json.dumps(v)}" for k, v in value.items())]
    return [f"  {key}: {json.dumps(value)}"]


def grams(g):
    return f"{g} g"


def everything(items):
    """A need for all that is held."""
    return {"need": "everything", "all": [{i["id"]: i.get("held", 1)} for i in items]}


def on_foot(people, items, **more):
    """The body of a move with one party on foot and no store."""
    body = {"equipment": items, "carriers": {"people": people}}
    body["parties"] = {"crew": {"travel": "foot", "who": [p["id"] for p in people]}}
    return body | more
