// Whole numbers without bound, stopped at 64 bits as the audit's are, and how
// they are printed.

const MOST = (1n << 64n) - 1n;
const MILLION = 1000000n;

const cap = (n) => (n > MOST ? MOST : n);
const add = (a, b) => cap(a + b);
const times = (a, b) => cap(a * b);
const less = (a, b) => (a > b ? a - b : 0n);
/** `n / d`, rounded up. */
const divUp = (n, d) => (n + d - 1n) / d;
/** The least common multiple of two numbers over zero. */
function multiple(a, b) {
  let [c, d] = [a, b];
  while (d > 0n) [c, d] = [d, c % d];
  return (a / c) * b;
}
/** A share in millionths of a mass, rounded up to a whole milligram. */
const shareOf = (mass, ppm) => cap(divUp(mass * ppm, MILLION));

/** `value / 10^places`, rounded half up to `show` decimals, all of them shown. */
function rounded(value, places, show) {
  const drop = 10n ** BigInt(places - show);
  const v = (value + drop / 2n) / drop;
  const one = 10n ** BigInt(show);
  return `${v / one}.${String(v % one).padStart(show, "0")}`;
}

/** `value / 10^places` without trailing zeros. */
function trimmed(value, places) {
  const one = 10n ** BigInt(places);
  const part = String(value % one)
    .padStart(places, "0")
    .replace(/0+$/, "");
  return part === "" ? String(value / one) : `${value / one}.${part}`;
}

/** Kilograms with two decimals, or pounds. */
function massText(mg, units) {
  if (units !== "imperial") return `${rounded(mg, 6, 2)} kg`;
  // Hundredths of a pound of 0.453 592 37 kg, half up.
  const pound = 45359237n;
  return `${rounded(cap((mg * 10000n + pound / 2n) / pound), 2, 2)} lb`;
}

/** Litres with one decimal. */
const bulkText = (ml) => `${rounded(ml, 3, 1)} L`;

/** Exact, for what rounding would hide. */
function massExact(mg) {
  if (mg === 0n) return "0 kg";
  if (mg >= 1000000n) return `${trimmed(mg, 6)} kg`;
  return mg >= 1000n ? `${trimmed(mg, 3)} g` : `${mg} mg`;
}

/** Rounded, unless nothing would be left of it. */
function excessText(mg, units) {
  const text = massText(mg, units);
  return mg > 0n && /^0\.00 /.test(text) ? massExact(mg) : text;
}

/** An amount of a supply, as tables have it. */
function amountText(base, dimension, units) {
  const short = (text) => (text.endsWith(".0") ? text.slice(0, -2) : text);
  switch (dimension) {
    case "length":
      return units === "imperial"
        ? `${short(rounded(cap((base * 100n + 4572n) / 9144n), 1, 1))} yd`
        : `${short(rounded(cap(base + 50n) / 100n, 1, 1))} m`;
    case "energy":
      return `${short(rounded(base, 3, 1))} Wh`;
    case "bulk":
      return bulkText(base);
    case "mass":
      return massText(base, units);
    default:
      return String(base);
  }
}

/** Tenths of a percent of a limit, rounded up: what is shown never flatters. */
function permilleUp(load, limit) {
  return load === 0n ? 0n : cap(divUp(load * 1000n, limit > 0n ? limit : 1n));
}

function shareText(load, limit) {
  const n = permilleUp(load, limit);
  return `${n / 10n}.${n % 10n} %`;
}
