// What the plan is worth, goal by goal.

function worth(counted, carriers) {
  const { order, placed } = counted;
  const wants = order.wants.map(([party, item, , upTo]) => {
    const there = counted.there(item, party);
    return there < BigInt(upTo) ? Number(there) : upTo;
  });
  const value = order.wants.reduce(
    (sum, [, , each], w) => add(sum, BigInt(each) * BigInt(wants[w])),
    0n,
  );
  const carried = placed
    .filter((p) => bearers(p).every((c) => order.partyOf[c] !== order.store))
    .reduce((sum, p) => add(sum, times(order.items[p.item].mass, BigInt(p.count))), 0n);
  const peak = peakOf(counted, carriers);
  const of = {
    wants: () => value,
    lightest: () => carried,
    even: () => peak,
    keeper: () => misplaced(counted),
    hands: () => BigInt(carriers.reduce((sum, f) => sum + f.used, 0)),
    changes: () => changed(counted),
  };
  const goals = order.goals.map((kind) => ({ kind, value: of[kind]() }));
  return { wants, value, carried, peak, goals };
}

/** Which of two shares is the larger, compared without division. */
function fuller(a, b) {
  if (a.load === 0n || b.load === 0n) return (a.load > 0n ? 1 : 0) - (b.load > 0n ? 1 : 0);
  const [x, y] = [a.load * b.limit, b.load * a.limit];
  return x > y ? 1 : x < y ? -1 : 0;
}

/** The largest share over the people on foot outside the store; over the
    vehicles outside it if there are no such people. */
function peakOf(counted, carriers) {
  const { order } = counted;
  const outside = carriers.filter((f) => !counted.inStore(f.party));
  const walking = outside.filter(
    (f) => order.parties[f.party].foot && order.carriers[f.carrier].person,
  );
  const driving = outside.filter((f) => !order.carriers[f.carrier].person);
  const of = walking.length > 0 ? walking : driving;
  const share = ({ load, limit }) => ({ load, limit });
  if (of.length === 0) return { load: 0n, limit: 1n };
  return of.map(share).reduce((a, b) => (fuller(a, b) > 0 ? a : b));
}

/** Units on foot away from everybody who has the duty of their keeper. */
function misplaced(counted) {
  const { order, placed } = counted;
  let units = 0n;
  for (const p of placed) {
    const duty = order.items[p.item].keeper;
    const at = order.partyOf[p.by];
    if (duty === null || at === null || counted.inStore(at) || !order.parties[at].foot) continue;
    const has = (c) => order.carriers[c].duties.includes(duty);
    if (order.parties[at].who.some(has) && !bearers(p).some(has)) units += BigInt(p.count);
  }
  return units;
}

/** Units that somebody outside the store has and had not by the plan before,
    and units that stay and had not stayed. */
function changed(counted) {
  const { order, placed } = counted;
  if (order.before === null) return 0n;
  const stored = (c) => order.store !== null && order.partyOf[c] === order.store;
  const takes = (c) => {
    const p = order.partyOf[c];
    return (
      p !== null && !counted.inStore(p) && (order.parties[p].foot || !order.carriers[c].person)
    );
  };
  const on = new Map();
  const away = order.items.map(() => [0n, 0n]);
  [order.before.plan, placed].forEach((plan, k) => {
    for (const p of plan) {
      const known = p.item < away.length && bearers(p).every((c) => c < order.carriers.length);
      if (!known || stored(p.by)) continue;
      away[p.item][k] += BigInt(p.count);
      for (const c of bearers(p).filter(takes)) {
        const key = `${p.item}/${c}`;
        if (!on.has(key)) on.set(key, [0n, 0n]);
        on.get(key)[k] += BigInt(p.count);
      }
    }
  });
  for (const [i, n] of order.before.astray) away[i][0] += BigInt(n);
  let sum = 0n;
  on.forEach(([had, has]) => (sum += less(has, had)));
  order.items.forEach((x, i) => {
    const rest = (k) => less(BigInt(x.held), away[i][k]);
    sum += less(rest(1), rest(0));
  });
  return sum;
}
