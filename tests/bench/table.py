"""The results as one Markdown table, and what they miss of the targets."""

from math import exp, log


def number(value, digits=6):
    return "–" if value is None else f"{value:.{digits}g}"


def seconds(value):
    return "–" if value is None else f"{value:.3f}" if value < 1 else f"{value:.1f}"


def missed(instance, run):
    """Sentences on what a target asks and the run has not."""
    target, out = instance.target, []
    if run.fault:
        out.append(run.fault)
    if run.value is None:
        return out or [f"no plan: {run.status}"]
    if target.seconds is not None and run.seconds > target.seconds:
        out.append(f"took {seconds(run.seconds)} s of {target.seconds:g} s")
    if target.gap is not None and run.worst[1] > target.gap:
        out.append(f"`{run.worst[0]}` within {run.worst[1]:.3g} % of its bound, {target.gap:g} % asked")
    if target.off is not None and instance.best is not None:
        off = distance(instance, run)
        if off > target.off + 1e-7:
            out.append(f"{off:.3g} % from the best, {target.off:g} % asked")
    if too_good(instance, run):
        out.append("better than the best possible: one of the two is wrong")
    if target.proven and run.gap:
        out.append(f"not proven, gap {run.gap:.3g} %")
    if target.mebibytes is not None and run.mebibytes > target.mebibytes:
        out.append(f"{run.mebibytes:.0f} MiB of {target.mebibytes:g} MiB")
    return out


def too_good(instance, run):
    return instance.best is not None and run.value is not None and distance(instance, run) < -1e-4


def wrong(instance, run):
    """Whether a run went wrong, however fast it was."""
    return run.fault is not None or run.value is None or too_good(instance, run)


def distance(instance, run):
    """Percent from the best possible; under zero if better."""
    value, best = run.value * instance.scale, instance.best
    worse = best - value if instance.goal == "wants" else value - best
    return 100 * worse / best


def row(instance, run, others, ratio, names):
    """Cells of an instance."""
    best, scale = number(instance.best, 8), instance.scale
    if instance.best is None:
        bounds = [b for b in [run.bound, *(r.bound for r in others.values())] if b is not None]
        tightest = min if instance.goal == "wants" else max
        best = f"({number(tightest(bounds) * scale, 8)})" if bounds else "–"
    scaled = [None if v is None else v * scale for v in (run.value, run.bound)]
    gap = "–" if run.worst is None else f"{run.worst[1]:.3g}"
    if run.worst and run.worst[0] != instance.goal and run.worst[1]:
        gap += f" ({run.worst[0]})"
    cells = [instance.family, instance.name, instance.goal, best]
    cells += [number(scaled[0], 8), number(scaled[1], 8), gap, seconds(run.reached), seconds(run.seconds)]
    cells += [f"{run.mebibytes:.0f}"]
    for name in names:
        rival = others.get(name)
        if rival is None:
            cells += ["–"] * 4
            continue
        values = [None if v is None else v * scale for v in (rival.value, rival.bound)]
        cells += [number(v, 8) for v in values]
        cells += [seconds(rival.reached) if rival.reached is not None else f">{rival.limit:g}"]
        cells += [seconds(rival.settled) if rival.settled is not None else f">{rival.limit:g}"]
    if names:
        cells += [shown(ratio.value), shown(ratio.proof)]
    return cells + ["; ".join(missed(instance, run)) or "ok"]


def shown(ratio):
    if ratio is None:
        return "–"
    value, below = ratio
    return f"{'<' if below else ''}{value:.3g}"


def render(rows, names, footer):
    columns = ["family", "instance", "first goal", "best (bound)", "value", "bound", "gap %", "s to value", "s", "MiB"]
    for name in names:
        columns += [f"{name}: value", "bound", "s to our value", "s to value and gap"]
    if names:
        columns += ["ratio", "ratio to value and gap"]
    columns += ["target"]
    lines = ["| " + " | ".join(columns) + " |", "|" + "---|" * len(columns)]
    lines += ["| " + " | ".join(cells) + " |" for cells in rows]
    return "\n".join([*lines, "", *footer]) + "\n"


def mean(ratios):
    """Geometric mean of (value, below); below if any is."""
    ratios = [r for r in ratios if r is not None]
    if not ratios:
        return None
    return exp(sum(log(value) for value, _ in ratios) / len(ratios)), any(b for _, b in ratios)
