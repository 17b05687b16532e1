// The audit, written a second time, from the meaning of a move: every mass, limit, need
// and rule of a plan worked out in whole numbers. Shares no code with the
// program, so each can be held against the other.
//
// A placement is {item, count, by, way, with}: `with` is the second of a pair,
// else null. An order is what `ready` makes of the data.

const WAYS = ["back", "chest", "shoulder", "belt", "hand", "pair", "bed"];

/** The data with quantities as whole numbers without bound. */
function ready(data) {
  const big = (text) => (text === null || text === undefined ? null : BigInt(text));
  const amounts = (of) => of.map(([supply, base]) => [supply, big(base)]);
  const uses = (of) => of.map(([supply, base, per]) => [supply, big(base), big(per)]);
  const node = (n) => {
    if (n.of) return { least: n.least, of: n.of.map(node) };
    if (n.supply === undefined) return n;
    const [amount, each, time, slack] = [n.amount, n.each, n.time, n.slack].map(big);
    return { supply: n.supply, amount, each, time, slack };
  };
  const carriers = data.carriers.map((c) => ({
    ...c,
    limit: big(c.limit),
    room: big(c.room),
    worn: big(c.worn ?? "0"),
    body: big(c.body ?? "0"),
    duties: c.duties ?? [],
    uses: uses(c.uses ?? []),
  }));
  const partyOf = carriers.map(() => null);
  data.parties.forEach((p, at) => p.who.forEach((c) => (partyOf[c] = at)));
  return {
    ...data,
    carriers,
    partyOf,
    items: data.items.map((x) => ({
      ...x,
      mass: big(x.mass),
      bulk: big(x.bulk),
      pair: x.pair.map(big),
      supplies: amounts(x.supplies),
      uses: uses(x.uses),
    })),
    needs: data.needs.map((n) => ({ ...n, node: node(n.node) })),
    rules: data.rules.map((r) => ({ ...r, mass: big(r.mass), share: big(r.share) })),
    before: data.before && { ...data.before, plan: data.before.plan.map(placement) },
    spent: data.spent.map(([party, supply, base]) => [party, supply, big(base)]),
    tolerance: data.tolerance && { ...data.tolerance, share: big(data.tolerance.share) },
    plan: data.plan.map(placement),
  };
}

const placement = ([item, count, by, way, other]) => ({
  item,
  count,
  by,
  way,
  with: other ?? null,
});

const bearers = (p) => (p.way === "pair" ? [p.by, p.with] : [p.by]);

/** Merged and in the order of the plan: by bearer, then item. */
function canonical(placements) {
  const key = (p) => [
    p.way === "pair" ? 1 : 0,
    p.by,
    p.way === "pair" ? p.with : WAYS.indexOf(p.way),
    p.item,
  ];
  const order = (a, b) => {
    const [x, y] = [key(a), key(b)];
    const at = x.findIndex((n, k) => n !== y[k]);
    return at < 0 ? 0 : x[at] - y[at];
  };
  const merged = [];
  for (const p of placements.filter((p) => p.count > 0).sort(order)) {
    const last = merged[merged.length - 1];
    if (last && order(last, p) === 0) last.count += p.count;
    else merged.push({ ...p });
  }
  return merged;
}

/** Recomputes everything. A plan is good if `faults` is empty. */
function audit(order, placements) {
  const known = (p) =>
    p.item < order.items.length && bearers(p).every((c) => c < order.carriers.length);
  const placed = canonical(placements).filter(known);
  const counted = count(order, placed);
  const faults = [...counted.faults];
  const fault = (kind, of) => faults.push({ kind, ...of });
  placed.forEach((p) => allowed(order, p, fault));
  const carriers = [];
  order.parties.forEach((party, at) => {
    for (const c of party.who) {
      const found = carrying(counted, at, c);
      // Somebody who rides bears nothing: the seat and the bed do.
      if (party.foot || !order.carriers[c].person) limits(order, found, fault);
      carriers.push(found);
    }
  });
  spread(counted, fault);
  const { needs, supplies } = needsOf(counted, fault);
  if (placed.length < canonical(placements).length) fault("unknown", {});
  return { faults, carriers, left: counted.left(), needs, supplies, ...worth(counted, carriers) };
}

/** What is where. */
function count(order, placed) {
  const zeros = () => order.items.map(() => 0n);
  const loose = order.parties.map(zeros);
  const borne = order.carriers.map(() => []);
  const cases = order.items.map(() => []);
  const out = zeros();
  const faults = [];
  order.items.forEach((x, box) => {
    x.inside.filter(([i]) => i !== box).forEach(([i, n]) => cases[i].push([box, BigInt(n)]));
  });
  for (const p of placed) {
    const n = BigInt(p.count);
    out[p.item] += n;
    bearers(p).forEach((c) => borne[c].push(p));
    const at = order.partyOf[p.by];
    if (at === null) faults.push({ kind: "nobody", item: p.item, carrier: p.by });
    else loose[at][p.item] += n;
  }
  order.items.forEach((x, item) => {
    const [have, used] = [BigInt(x.held), out[item]];
    if (used > have) faults.push({ kind: "too-many", item, placed: used, held: have });
    if (used < have && order.store !== null)
      faults.push({ kind: "nowhere", item, count: have - used });
  });
  const inCases = (item, party) =>
    cases[item].reduce((sum, [box, each]) => add(sum, times(each, loose[party][box])), 0n);
  return {
    order,
    placed,
    loose,
    borne,
    faults,
    inCases,
    /** Units of the item in the party, those in cases included. */
    there: (item, party) => loose[party][item] + inCases(item, party),
    /** Units of the item on the carrier; a pair's thing is on both. */
    on: (item, c) => borne[c].filter((p) => p.item === item).reduce((sum, p) => sum + p.count, 0),
    inStore: (party) => order.store === party,
    /** Units that no carrier outside the store takes. */
    left: () =>
      order.items.flatMap((x, item) => {
        const outside = loose.reduce(
          (sum, here, p) => (p === order.store ? sum : sum + here[item]),
          0n,
        );
        const rest = less(BigInt(x.held), outside);
        return rest > 0n ? [{ item, count: Number(rest) }] : [];
      }),
  };
}

/** Whether a placement is of a kind that the move allows. */
function allowed(order, p, fault) {
  const { item, by, way } = p;
  const may = order.items[item].ways;
  const party = (c) => order.partyOf[c];
  if (way !== "pair") {
    // With nobody of a party: told already.
    if (party(by) === null) return;
    if (!order.carriers[by].person) {
      if (way !== "bed") fault("bed-only", { item, carrier: by });
    } else if (!order.parties[party(by)].foot) {
      fault("rider", { item, carrier: by });
    } else if (way === "bed" || !may.includes(way)) {
      fault("way", { item, carrier: by, way });
    }
  } else {
    const other = p.with;
    const pair = { item, carrier: by, with: other };
    if (by === other || party(by) !== party(other)) fault("pair-party", pair);
    const walks = party(by) !== null && order.parties[party(by)].foot;
    if (!walks || !order.carriers[by].person || !order.carriers[other].person)
      fault("pair-foot", pair);
    if (!may.includes("pair")) fault("pair-way", pair);
    if (p.count !== 1) fault("pair-count", pair);
  }
  keptOff(order, p, fault);
}

function keptOff(order, p, fault) {
  for (const carrier of bearers(p)) {
    const rule = order.rules.findIndex(
      (r) => r.kind === "keep-off" && r.items.includes(p.item) && r.carriers.includes(carrier),
    );
    if (rule >= 0) fault("rule", { rule, carrier, items: [p.item] });
  }
}
