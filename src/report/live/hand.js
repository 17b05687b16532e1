// Changes by hand: what can be moved, to whom and how, and what comes of it.
// A place is {by, way, with}, or null where nobody has it; a change is
// {item, count, from, to}.

const samePlace = (a, b) =>
  a === b ||
  (a !== null &&
    b !== null &&
    a.by === b.by &&
    a.way === b.way &&
    (a.with ?? null) === (b.with ?? null));

/** Who can take kit: people on foot, and vehicles. */
function takesKit(order, c) {
  const p = order.partyOf[c];
  return p !== null && (order.parties[p].foot || !order.carriers[c].person);
}

/** What nobody has, where there is no store to have it. */
function behind(order, placements) {
  if (order.store !== null) return [];
  const out = order.items.map(() => 0);
  placements.forEach((p) => (out[p.item] += p.count));
  return order.items.flatMap((x, item) =>
    x.held > out[item] ? [{ item, count: x.held - out[item], from: null }] : [],
  );
}

/** What can be taken from a carrier, or from what is left behind (null). */
function holdings(order, placements, c) {
  if (c === null) return behind(order, placements);
  return placements
    .filter((p) => bearers(p).includes(c))
    .map((p) => ({ item: p.item, count: p.count, from: { by: p.by, way: p.way, with: p.with } }));
}

/** People who could take the other end of a pair with this one. */
function mates(order, c) {
  const p = order.partyOf[c];
  if (p === null || !order.parties[p].foot || !order.carriers[c].person) return [];
  return order.parties[p].who.filter((m) => m !== c && order.carriers[m].person);
}

/** The ways in which a carrier may take an item. */
function waysOf(order, item, c) {
  if (!order.carriers[c].person) return ["bed"];
  const alone = (w) => w !== "bed" && (w !== "pair" || mates(order, c).length > 0);
  return order.items[item].ways.filter(alone);
}

const evenPair = (order, item) => order.items[item].pair[0] === order.items[item].pair[1];

/** The place of a pair: which of two takes which end matters only where the
    ends are not alike. */
function pairPlace(order, item, first, second) {
  const swap = evenPair(order, item) && second < first;
  return swap ? { by: second, way: "pair", with: first } : { by: first, way: "pair", with: second };
}

/** The placements after a change, or null if it cannot be made of these. */
function apply(order, placements, change) {
  const { item, count, from, to } = change;
  if (!Number.isInteger(count) || count < 1 || !order.items[item] || samePlace(from, to))
    return null;
  const next = placements.map((p) => ({ ...p }));
  if (from === null) {
    const there = behind(order, placements).find((b) => b.item === item);
    if (!there || there.count < count) return null;
  } else {
    const there = next.find((p) => p.item === item && samePlace(p, from));
    if (!there || there.count < count) return null;
    there.count -= count;
  }
  if (to === null) return order.store === null ? canonical(next) : null;
  const sound = (c) => order.carriers[c] && takesKit(order, c);
  if (!sound(to.by) || !waysOf(order, item, to.by).includes(to.way)) return null;
  if (to.way === "pair" && (count !== 1 || !mates(order, to.by).includes(to.with))) return null;
  next.push({ item, count, by: to.by, way: to.way, with: to.way === "pair" ? to.with : null });
  return canonical(next);
}

/** All changes, one after the other; null if one of them cannot be made. */
function replay(order, changes) {
  return changes.reduce(
    (placed, change) => placed && apply(order, placed, change),
    canonical(order.plan),
  );
}

/** Where something is, in words. */
function placeParts(order, place) {
  if (place === null) return say`left behind`;
  if (place.way !== "pair") return say`${carrierName(order, place.by)} (${place.way})`;
  return say`${carrierName(order, place.by)} and ${carrierName(order, place.with)} (pair)`;
}

/** `2 × Ration meal: Ann (back) → Bo (hand)`. */
function changeParts(order, { item, count, from, to }) {
  return say`${count} × ${itemName(order, item)}: ${placeParts(order, from)} → ${placeParts(order, to)}`;
}

const touches = (change, c) =>
  [change.from, change.to].some((p) => p !== null && bearers(p).includes(c));

/** The changes and what is broken, as lines of plain text. */
function asText(order, changes, faults, units) {
  const lines = [`Changes by hand: ${order.name}`];
  changes.forEach((c, k) => lines.push(`${k + 1}. ${plain(changeParts(order, c))}`));
  if (faults.length === 0) lines.push("Nothing is broken: limits, needs and rules are kept.");
  else lines.push(`BROKEN: ${faults.length}`);
  faults.forEach((f) => lines.push(`- ${plain(faultParts(order, f, units))}`));
  return `${lines.join("\n")}\n`;
}

/** A short name for the move and plan that the page was made of: FNV-1a, twice
    32 bits from two beginnings. */
function digest(text) {
  let [a, b] = [0x811c9dc5, 0x1000193b];
  for (let k = 0; k < text.length; k += 1) {
    const c = text.charCodeAt(k);
    a = Math.imul(a ^ c, 0x01000193);
    b = Math.imul(b ^ c, 0x01000193) + a;
  }
  return [a, b].map((n) => (n >>> 0).toString(16).padStart(8, "0")).join("");
}
