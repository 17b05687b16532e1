// Masses, bulk, ways and hands of one carrier.

function carrying(counted, party, c) {
  const { order } = counted;
  const carrier = order.carriers[c];
  const lines = [];
  let [bulk, used] = [0n, 0];
  for (const p of counted.borne[c]) {
    const x = order.items[p.item];
    const n = BigInt(p.count);
    const line = { item: p.item, count: p.count, way: p.way };
    if (p.way === "pair") {
      const end = p.by === c ? 0 : 1;
      used += p.count;
      const mass = times(shareOf(x.mass, x.pair[end]), n);
      lines.push({ ...line, with: end === 0 ? p.with : p.by, mass });
      continue;
    }
    if (p.way === "back" || p.way === "bed") bulk = add(bulk, times(x.bulk, n));
    if (p.way === "hand") used += x.hands * p.count;
    lines.push({ ...line, with: null, mass: times(x.mass, n) });
  }
  lines.sort((a, b) => WAYS.indexOf(a.way) - WAYS.indexOf(b.way) || a.item - b.item);
  const burden = carrier.person ? carrier.worn : aboard(order, party, c);
  const load = lines.reduce((sum, l) => add(sum, l.mass), burden);
  const { limit, room } = carrier;
  const usable = less(limit, kept(order, c, limit));
  const hands = carrier.person ? carrier.slots.hand : 0;
  used = Math.min(used, 0xffffffff);
  const worst = atWorst(counted, c, load);
  return { carrier: c, party, burden, load, limit, usable, bulk, room, used, hands, worst, lines };
}

/** The people on a vehicle with what they wear. */
function aboard(order, party, vehicle) {
  return order.parties[party].aboard
    .filter(([, on]) => on === vehicle)
    .map(([who]) => order.carriers[who])
    .filter((c) => c.person)
    .reduce((sum, c) => add(sum, add(c.worn, c.body)), 0n);
}

/** What every reserve together keeps back of the limit. */
function kept(order, c, limit) {
  return order.rules
    .filter((r) => r.kind === "reserve" && r.carriers.includes(c))
    .reduce((sum, r) => add(sum, r.mass ?? shareOf(limit, r.share)), 0n);
}

/** With a tolerance: the load where as many kinds as may be weigh more. */
function atWorst(counted, c, load) {
  const { tolerance, items } = counted.order;
  if (tolerance === null) return null;
  const more = new Map();
  for (const p of counted.borne[c]) {
    const x = items[p.item];
    const each = p.way === "pair" ? shareOf(x.mass, x.pair[p.by === c ? 0 : 1]) : x.mass;
    const off = times(shareOf(each, tolerance.share), BigInt(p.count));
    more.set(p.item, add(more.get(p.item) ?? 0n, off));
  }
  const heaviest = [...more.values()].sort((a, b) => (a < b ? 1 : a > b ? -1 : 0));
  return heaviest.slice(0, tolerance.off ?? heaviest.length).reduce(add, load);
}

/** The hands that a rule keeps free. */
const handsKept = (order, c) =>
  Math.max(
    0,
    ...order.rules
      .filter((r) => r.kind === "hands-free" && r.carriers.includes(c))
      .map((r) => r.count),
  );

/** Things by a way; in pairs, pairs. */
const byWay = (found, way) =>
  found.lines.filter((l) => l.way === way).reduce((sum, l) => sum + l.count, 0);

function limits(order, found, fault) {
  const { carrier, load, limit, usable, worst, bulk, room, used, hands } = found;
  const { person, slots } = order.carriers[carrier];
  if (load > limit) fault("over", { carrier, load, limit });
  else if (load > usable) fault("reserve", { carrier, load, usable });
  else if (worst !== null && worst > usable) fault("worst", { carrier, worst, usable });
  if (room !== null && bulk > room) fault(person ? "pack" : "bed", { carrier, bulk, room });
  if (!person) return;
  for (const way of ["back", "chest", "shoulder", "belt"]) {
    const count = byWay(found, way);
    const most = slots[way];
    if (most !== null && count > most) fault("slots", { carrier, way, count, most });
  }
  const pairs = byWay(found, "pair");
  if (pairs > 1) fault("pairs", { carrier, count: pairs });
  const keep = handsKept(order, carrier);
  if (used > 0 && used + keep > hands)
    fault(keep > 0 ? "hands-free" : "hands", { carrier, used, hands, ...(keep > 0 && { keep }) });
}
