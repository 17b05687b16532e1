"""Quantities as the documents write them, in whole base units.

Mass in mg, bulk in mL, length in mm, energy in mWh, time in s, shares in
millionths. Exact: fractions until the one rounding at the end.
"""

import re
from fractions import Fraction as F
from math import floor

POUND = F("453592.37")  # mg; exact since 1959, as the yard is
MASS = {"mg": F(1), "g": F(1000), "kg": F(10**6), "t": F(10**9)}
MASS |= {"lb": POUND, "lbs": POUND, "oz": POUND / 16}
BULK = {"mL": F(1), "ml": F(1), "cL": F(10), "cl": F(10), "dL": F(100), "dl": F(100)}
BULK |= {"L": F(1000), "l": F(1000)}
FOOT = F("304.8")
LENGTH = {"mm": F(1), "cm": F(10), "m": F(1000), "km": F(10**6)}
LENGTH |= {"in": FOOT / 12, "ft": FOOT, "yd": 3 * FOOT, "mi": 5280 * FOOT}
ENERGY = {"mWh": F(1), "Wh": F(1000), "kWh": F(10**6)}
TIME = {"s": F(1), "min": F(60), "h": F(3600), "d": F(86400), "day": F(86400), "days": F(86400)}
PERCENT = {"%": F(10_000)}


def half_up(value):
    return floor(value + F(1, 2))


def ceil_div(a, b):
    return -(-a // b)


def exact(text, units):
    terms = re.findall(r"([0-9.]+)\s*([A-Za-z%]+)", text)
    if not terms or any(unit not in units for _, unit in terms):
        raise ValueError(f"no quantity of this kind: {text}")
    return sum(F(number) * units[unit] for number, unit in terms)


def mass(text):
    return half_up(exact(text, MASS))


def bulk(text):
    return half_up(exact(text, BULK))


def box(text):
    sides, unit = re.fullmatch(r"\s*(.*?)\s*([a-z]+)\s*", text).groups()
    volume = F(1)
    for side in re.split(r"[x×*]", sides):
        volume *= F(side.strip()) * LENGTH[unit]
    return half_up(volume / 1000)


def span(text):
    return half_up(exact(text, TIME))


def percent(text):
    return half_up(exact(text, PERCENT))


def amount(text):
    """An amount of a supply: its dimension is told by its unit."""
    text = text.strip()
    if text.isdigit():
        return int(text)
    for units in (LENGTH, ENERGY, BULK, MASS):
        try:
            return half_up(exact(text, units))
        except ValueError:
            pass
    raise ValueError(f"not an amount: {text}")


def use(text):
    """(amount, None) at once, or (amount, seconds) over time."""
    text = text.strip()
    if "/" in text:
        head, per = text.rsplit("/", 1)
        per = per.strip()
        return amount(head), span(per if per[0].isdigit() else "1 " + per)
    if text.endswith("W"):
        return amount(text + "h"), 3600
    return amount(text), None
