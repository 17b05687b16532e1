// What a fault is in words, and whose cards it belongs on. Names stay apart
// from the words around them, so that each can be set in its own direction.

/** Parts of a sentence: words, and names as {name}. */
const say = (words, ...values) =>
  words.flatMap((w, k) => (k < values.length ? [w, values[k]].flat() : [w]));
const plain = (parts) => parts.map((p) => (typeof p === "object" ? p.name : String(p))).join("");

const carrierName = (order, c) => ({ name: order.carriers[c].name });
const itemName = (order, i) => ({ name: order.items[i].name });
const partyName = (order, p) => ({ name: order.parties[p].id });
const plural = (n, one, many) => `${n} ${Number(n) === 1 ? one : many}`;

const areText = (n) => `${n} ${Number(n) === 1 ? "is" : "are"}`;

/** `21.40 of 24.00 kg`: the unit once. */
function ofText(part, whole) {
  const [a, b] = [part, whole].map((t) => t.lastIndexOf(" "));
  return a > 0 && part.slice(a) === whole.slice(b)
    ? `${part.slice(0, a)} of ${whole}`
    : `${part} of ${whole}`;
}

const listed = (names) =>
  names.flatMap((n, k) => (k === 0 ? [n] : [k === names.length - 1 ? " and " : ", ", n]));

/** The fault as parts of a sentence. */
function faultParts(order, f, units) {
  const who = () => carrierName(order, f.carrier);
  const item = () => itemName(order, f.item);
  const party = () => partyName(order, f.party);
  const items = () => listed(f.items.map((i) => itemName(order, i)));
  const pair = () => say`${who()} and ${carrierName(order, f.with)}`;
  switch (f.kind) {
    case "over": {
      const { limit } = order.carriers[f.carrier];
      const [what, most] =
        f.load > limit ? ["OVER THE LIMIT", limit] : ["INTO THE RESERVE", f.usable];
      const bears = ofText(massText(f.load, units), massText(most, units));
      return say`${who()} is ${what} by ${excessText(f.load - most, units)}: ${bears}`;
    }
    case "worst":
      return say`${who()} could be OVER THE LIMIT by ${excessText(f.worst - f.usable, units)} if things weigh more than the list says`;
    case "room": {
      const place = order.carriers[f.carrier].person ? "the pack" : "the bed";
      return say`${who()} has ${ofText(bulkText(f.bulk), bulkText(f.room))} in ${place}: too much by ${f.bulk - f.room} mL`;
    }
    case "slots":
      return say`${who()} has ${plural(f.count, "thing", "things")} by ${f.way}, where at most ${f.most} can be`;
    case "pairs":
      return say`${who()} is in ${f.count} pairs at once`;
    case "hands":
      return f.keep > 0
        ? say`${who()} uses ${plural(f.used, "hand", "hands")} of ${f.hands}, and ${f.keep} must stay free`
        : say`${who()} uses ${plural(f.used, "hand", "hands")} of ${f.hands}`;
    case "apart":
      return say`${who()} has ${items()}, which must go apart`;
    case "together":
      return say`${items()} must be on one carrier of ${party()}`;
    case "at-most":
      return say`${who()} has ${f.count} of ${items()}, where at most ${f.most} may be`;
    case "fixed":
      return say`${who()} has ${f.count} of ${item()} and must have ${f.asked}`;
    case "keep-off":
      return say`${item()} may not be with ${who()}`;
    case "need":
      return say`NOT MET for ${party()}: ${{ name: order.needs[f.need].name }}`;
    case "requires":
      return say`${party()} has ${f.there} of ${item()}, and ${areText(f.asked)} required by what is there`;
    case "brings": {
      const any = f.any.map(([i, n]) => say`${n} ${itemName(order, i)}`);
      const list = any.flatMap((a, k) => (k === 0 ? a : [" or ", ...a]));
      return say`${party()} must bring ${list}, so that the rest can carry on if somebody drops out`;
    }
    case "too-many":
      return say`${areText(f.placed)} placed of ${item()}, and ${areText(f.held)} held`;
    case "nowhere":
      return say`${areText(f.count)} nowhere of ${item()}`;
    case "nobody":
      return say`${item()} is with ${who()}, who is in no party`;
    case "bed-only":
      return say`${item()} can only ride on the bed of ${who()}`;
    case "rider":
      return say`${who()} rides and carries nothing, so not ${item()}`;
    case "way":
      return say`${item()} may not be carried by ${f.way}`;
    case "pair-party":
    case "pair-foot":
      return say`${pair()} cannot carry ${item()} as a pair: that takes two people on foot of one party`;
    case "pair-way":
      return say`${item()} may not be carried by a pair`;
    case "pair-count":
      return say`${pair()} carry one thing between them, not more of ${item()}`;
    default:
      return say`something is placed that is not in the move`;
  }
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
  if (f.kind === "together") return having(f.items, f.party);
  if (f.party !== undefined) return order.parties[f.party].who;
  return f.item === undefined ? [] : having([f.item]);
}
