// What a fault is in words, and whose cards it belongs on. Names stay apart
// from the words around them, so that each can be set in its own direction.
// The sentences are the program's own: FAULTS has them, by kind, and a rule of
// the move brings its own.

/** Parts of a sentence: words, and names as {name}. */
const say = (words, ...values) =>
  words.flatMap((w, k) => (k < values.length ? [w, values[k]].flat() : [w]));
const plain = (parts) => parts.map((p) => (typeof p === "object" ? p.name : String(p))).join("");

const carrierName = (order, c) => ({ name: order.carriers[c].name });
const itemName = (order, i) => ({ name: order.items[i].name });
const partyName = (order, p) => ({ name: order.parties[p].id });
const plural = (n, one, many) => `${n} ${Number(n) === 1 ? one : many}`;

/** `21.40 of 24.00 kg`: the unit once. */
function ofText(part, whole) {
  const [a, b] = [part, whole].map((t) => t.lastIndexOf(" "));
  return a > 0 && part.slice(a) === whole.slice(b)
    ? `${part.slice(0, a)} of ${whole}`
    : `${part} of ${whole}`;
}

const listed = (names) =>
  names.flatMap((n, k) => (k === 0 ? [n] : [k === names.length - 1 ? " and " : ", ", n]));

/** How a value of each sort is told. */
const TOLD = {
  carrier: carrierName,
  item: itemName,
  items: (order, all) => listed(all.map((i) => itemName(order, i))),
  any: (order, any) => {
    const each = any.map(([i, n]) => say`${n} ${itemName(order, i)}`);
    return each.flatMap((a, k) => (k === 0 ? a : [" or ", ...a]));
  },
  party: partyName,
  need: (order, n) => ({ name: order.needs[n].name }),
  count: (_, n) => String(n),
  mass: (_, mg, units) => massText(mg, units),
  bulk: (_, ml) => bulkText(ml),
  way: (_, way) => way,
};

/** The fault as parts of a sentence, see `core/sentence.rs`. */
function faultParts(order, f, units) {
  const { values } = FAULTS[f.kind];
  const rule = order.rules[f.rule];
  const value = (name) => (name === "number" ? rule.count : f[name]);
  const sort = (name) => (name === "number" ? "count" : values[name]);
  const told = (name) => TOLD[sort(name)](order, value(name), units);
  const open = (text) => {
    const either = /^(.*)\|(.*):(.*)$/.exec(text);
    const of = /^(.*) of (.*)$/.exec(text);
    const above = /^(.*) - (.*)$/.exec(text);
    if (either) return Number(value(either[3])) === 1 ? either[1] : either[2];
    if (of) return ofText(told(of[1]), told(of[2]));
    if (!above) return told(text);
    const excess = value(above[1]) - value(above[2]);
    return sort(above[1]) === "mass" ? excessText(excess, units) : `${excess} mL`;
  };
  const says = rule === undefined ? FAULTS[f.kind].says : rule.broken;
  return says.split(/\{(.*?)\}/).flatMap((text, k) => (k % 2 === 0 ? [text] : open(text)));
}

/** The carriers on whose cards a fault belongs. */
function concerned(order, placements, f) {
  const having = (items, party) =>
    placements
      .filter(
        (p) => items.includes(p.item) && (party === undefined || order.partyOf[p.by] === party),
      )
      .flatMap(bearers);
  if (f.carrier !== undefined) return [f.carrier, f.with ?? f.carrier];
  if (f.items !== undefined) return having(f.items, f.party);
  if (f.party !== undefined) return order.parties[f.party].who;
  return f.item === undefined ? [] : having([f.item]);
}
