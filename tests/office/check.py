"""Writes workbooks, and compares what an office program made of them with the
other forms of the same reports. Called by `run`, with the standard library alone.
"""

import csv
import json
import re
import subprocess
import sys
import zipfile
from pathlib import Path

KITS = sorted(p for p in Path("kits").iterdir() if (p / "README.md").exists())
PLANS = {"ridge": "kits/ridge-relay/ridge.move.yaml", "walk": "kits/day-walk/day-walk.move.yaml"}
# Grams in a pound, exact by the agreement of 1959.
POUND = 453.59237


def printed(binary, *args, codes=(0, 4)):
    done = subprocess.run([binary, *args], capture_output=True, text=True)
    assert done.returncode in codes, (args, done.returncode, done.stderr)
    return done.stdout


def moves(kit):
    """The folder of a kit, or its moves where all is in them."""
    whole = kit / "equipment.yaml"
    return [kit] if whole.exists() else sorted(kit.glob("*.move.yaml"))


def write(binary, folder):
    for kit in KITS:
        for i, path in enumerate(moves(kit)):
            printed(binary, "list", path, "-f", "xlsx", "-o", folder / f"list-{kit.name}-{i}.xlsx")
    for name, path in PLANS.items():
        printed(binary, "split", path, "-f", "xlsx", "-o", folder / f"plan-{name}.xlsx")
    falsify(folder / "plan-ridge.xlsx", folder / "false.xlsx")
    help_ = subprocess.run([binary, "muster", "--help"], capture_output=True, text=True)
    if help_.returncode == 0 and "xlsx" in help_.stdout:
        # Short stores are a code of their own, and a report all the same.
        printed(
            binary, "muster", "kits/ridge-relay", "--no-moves", "-f", "xlsx",
            "-o", folder / "muster.xlsx", codes=(0, 1),
        )


def falsify(path, to):
    """The same with every result of a formula wrong: an office program that takes
    results as they are kept would show so."""
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(to, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            if name.startswith("xl/worksheets/"):
                text = re.sub(rb"</f><v>[^<]*</v>", b"</f><v>987654321</v>", text)
            new.writestr(name, text)


class Tally:
    def __init__(self):
        self.passed, self.failed = 0, 0

    def check(self, what, holds, detail=""):
        if holds:
            self.passed += 1
        else:
            self.failed += 1
            print(f"FAILED: {what} {detail}")


def rows(path):
    with open(path, encoding="utf-8", newline="") as file:
        return [r for r in csv.reader(file)]


def table(sheet, head):
    """The rows under the header that starts with `head`, and the row of totals."""
    at = next(i for i, r in enumerate(sheet) if r and r[0] == head)
    width = len([c for c in sheet[at] if c])
    body, total = [], None
    for row in sheet[at + 1 :]:
        if row and row[0] == "Total":
            total = row[:width]
        elif any(row):
            body.append(row[:width])
    return sheet[at][:width], body, total


def unguarded(cell):
    return cell[1:] if re.match(r"'[=+\-@＝＋－＠]", cell) else cell


def same(a, b):
    if a == b:
        return True
    try:
        return abs(float(a) - float(b)) <= 1e-9 * max(1.0, abs(float(a)))
    except ValueError:
        return False


def lists(binary, folder, tally):
    for kit in KITS:
        for i, path in enumerate(moves(kit)):
            whole = json.loads(printed(binary, "list", path, "-f", "json"))
            for of in ("equipment", "carriers"):
                name = f"list-{kit.name}-{i}-{of.capitalize()}.csv"
                sheet = rows(folder / "csv" / name)
                text = printed(binary, "list", path, "-f", "csv", "--only", of)
                expected = list(csv.reader(text.splitlines(keepends=True)))
                head, body, total = table(sheet, expected[0][0])
                tally.check(f"{name}: header", head == expected[0], f"{head}")
                tally.check(f"{name}: rows", len(body) == len(expected) - 1)
                for got, want in zip(body, expected[1:]):
                    want = [unguarded(c) for c in want]
                    fine = len(got) == len(want) and all(map(same, got, want))
                    tally.check(f"{name}: {want[0]}", fine, f"{got} {want}")
                sums = next(l for l in whole["lists"] if l["of"] == of)["sums"]
                for key, value in sums.items():
                    column = key.removesuffix("_g").removesuffix("_ml").replace("_", "-")
                    at = next(k for k, h in enumerate(head) if h.split(" (")[0] == column)
                    unit = 1000 if key != column.replace("-", "_") else 1
                    unit = POUND if head[at].endswith("(lb)") else unit
                    fine = total and same(float(total[at]) * unit, value)
                    tally.check(f"{name}: sum of {column}", fine, f"{total} {value}")


def plans(binary, folder, tally):
    for name, path in PLANS.items():
        plan = json.loads(printed(binary, "split", path, "-f", "json"))
        text = printed(binary, "split", path, "-f", "csv")
        expected = list(csv.reader(text.splitlines(keepends=True)))[1:]
        for book in [name] + (["false"] if name == "ridge" else []):
            stem = f"plan-{book}" if book != "false" else book
            carried = rows(folder / "csv" / f"{stem}-Who carries what.csv")
            head, body, total = table(carried, "State")
            grams = {"Mass (kg)": 1000, "Mass (lb)": POUND}[head[9]]
            tally.check(f"{stem}: rows", len(body) == len(expected))
            for got, want in zip(body, expected):
                mass = float(want[9]) / grams if want[9] else ""
                want = [unguarded(c) for c in want[:9]] + [mass]
                fine = all(same(g, str(w)) for g, w in zip(got, want))
                tally.check(f"{stem}: {want[4]}", fine, f"{got} {want}")
            mass = sum(float(r[9] or 0) for r in expected) / grams
            tally.check(f"{stem}: sum", total and same(total[9], str(mass)), f"{total} {mass}")
            head, body, total = table(rows(folder / "csv" / f"{stem}-Loads.csv"), "Party")
            at = next(k for k, h in enumerate(head) if h.startswith("Load ("))
            loads = {c["id"]: c for c in plan["carriers"]}
            shown = [r for r in body if r[at]]
            for row in shown:
                load = loads[row[1]]["load_g"] / grams
                tally.check(f"{stem}: load of {row[1]}", same(row[at], str(load)), f"{row}")
            mass = sum(loads[r[1]]["load_g"] for r in shown) / grams
            tally.check(f"{stem}: sum of loads", same(total[at], str(mass)), f"{total} {mass}")
            value = rows(folder / "csv" / f"{stem}-Wants.csv")
            _, _, total = table(value, "Party")
            tally.check(f"{stem}: wants", same(total[6], str(plan["wants_value"] or 0)), f"{total}")


def compare(binary, folder):
    tally = Tally()
    lists(binary, folder, tally)
    plans(binary, folder, tally)
    pdf = folder / "pdf" / "plan-ridge.pdf"
    tally.check("the plan prints", pdf.exists() and pdf.read_bytes().startswith(b"%PDF"))
    every = sorted((folder / "csv").glob("*.csv"))
    for path in every:
        text = path.read_text(encoding="utf-8")
        wrong = re.search(r"(#(NAME|VALUE|REF|DIV/0|N/A|NUM)|Err:\d)", text)
        tally.check(f"{path.name} has no error", wrong is None, str(wrong))
    if (folder / "muster.xlsx").exists():
        tally.check("muster.xlsx opens", any(p.name.startswith("muster") for p in every))
    print(f"{tally.passed} passed, {tally.failed} failed")
    return 1 if tally.failed else 0


if __name__ == "__main__":
    action, binary, folder = sys.argv[1], sys.argv[2], Path(sys.argv[3])
    sys.exit(write(binary, folder) if action == "write" else compare(binary, folder))
