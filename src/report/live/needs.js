// Needs and supplies. A demand that hangs on a choice counts only where its
// branch is used: the needs hold if some choice of them has enough of all.

const MOST_OPTIONAL = 12;

/** The choices in the order in which they are tried: the smallest first. */
const choices = (n) => {
  const ones = (mask) => (mask === 0 ? 0 : (mask & 1) + ones(mask >> 1));
  const all = Array.from({ length: 1 << n }, (_, mask) => mask);
  return all.sort((a, b) => ones(a) - ones(b) || a - b);
};

function needsOf(counted, fault) {
  const { order } = counted;
  const needs = order.needs.map(() => null);
  const supplies = [];
  order.parties.forEach((_, party) => {
    const scene = sceneOf(counted, party);
    const used = scene.choice();
    order.needs.forEach((need, n) => {
      if (need.party !== party) return;
      const by = [];
      const met = scene.holds(need.node, used, by);
      if (!met) fault("need", { party, need: n });
      needs[n] = { met, by: met ? by : [] };
    });
    supplies.push(...scene.supplies(used));
  });
  return { needs, supplies };
}

/** One party's needs. */
function sceneOf(counted, party) {
  const { order } = counted;
  const mine = order.needs.filter((n) => n.party === party);
  const [always, optional] = [[], []];
  const sort = (node, must) => {
    if (node.of) node.of.forEach((n) => sort(n, must && node.least === node.of.length));
    else if (node.supply !== undefined) (must ? always : optional).push(node);
  };
  mine.forEach((n) => sort(n.node, true));

  const people = order.parties[party].who.map((c) => order.carriers[c]).filter((c) => c.person);
  const small = (n) => Number(n < 0xffffffffn ? n : 0xffffffffn);
  const gives = (item, supply) => {
    let sum = 0n;
    for (const [i, n] of order.items[item].inside) {
      for (const [s, base] of order.items[i].supplies) {
        if (s === supply) sum = add(sum, times(base, BigInt(n)));
      }
    }
    return sum;
  };
  const sources = (supply) =>
    order.items
      .map((_, item) => ({
        item,
        count: small(counted.loose[party][item]),
        each: gives(item, supply),
      }))
      .filter((s) => s.count > 0 && s.each > 0n);
  const there = (supply) =>
    sources(supply).reduce((sum, s) => add(sum, times(s.each, BigInt(s.count))), 0n);

  /** The parts of a base unit in which all uses of a supply are whole: rates
      have periods, and only the sum of all is rounded. */
  const parts = order.supplies.map(() => 1n);
  for (const { uses } of [...people, ...order.items]) {
    for (const [s, , per] of uses) if (per > 1n) parts[s] = multiple(parts[s], per);
  }
  /** What one thing or person uses of the supply while the demand lasts. */
  const use = (uses, d) =>
    uses
      .filter(([s]) => s === d.supply)
      .reduce((sum, [, base, per]) => {
        if (per === null) return sum + base * parts[d.supply];
        if (d.time === null) return sum;
        return sum + (base * d.time * parts[d.supply]) / (per > 0n ? per : 1n);
      }, 0n);
  const beforeSlack = (d) => {
    let sum = ((d.amount ?? 0n) + (d.each ?? 0n) * BigInt(people.length)) * parts[d.supply];
    for (const person of people) sum += use(person.uses, d);
    order.items.forEach((x, item) => {
      const each = use(x.uses, d);
      if (each > 0n) sum += each * counted.there(item, party);
    });
    return sum;
  };
  /** The sum of the demands on each supply they name, rounded up once. */
  const totals = (demands) => {
    const sums = new Map();
    for (const d of demands) {
      const asked = (MILLION + d.slack) * beforeSlack(d);
      sums.set(d.supply, (sums.get(d.supply) ?? 0n) + asked);
    }
    sums.forEach((sum, s) => sums.set(s, cap(divUp(sum, MILLION * parts[s]))));
    return sums;
  };
  /** That, less what was used up of it already. */
  const asked = (demands) => {
    const sums = totals(demands);
    for (const [p, supply, n] of order.spent) {
      if (p === party && sums.has(supply)) sums.set(supply, less(sums.get(supply), n));
    }
    return sums;
  };

  const holds = (node, used, by) => {
    if (node.of) {
      let held = 0;
      for (const child of node.of) {
        const mark = by.length;
        if (holds(child, used, by)) held += 1;
        else by.length = mark;
      }
      return held >= node.least;
    }
    if (node.supply !== undefined) {
      by.push({ supply: node.supply, demand: totals([node]).get(node.supply) });
      return used.includes(node) && there(node.supply) >= asked(used).get(node.supply);
    }
    const here = small(counted.there(node.item, party));
    by.push({
      item: node.item,
      asked: node.count,
      there: here,
      inCases: small(counted.inCases(node.item, party)),
    });
    return here >= node.count;
  };

  /** The demands in force: all that must be, and the fewest others that make
      every need hold; only those that must be, if none do. */
  const choice = () => {
    for (const mask of choices(Math.min(optional.length, MOST_OPTIONAL))) {
      const used = [...always, ...optional.filter((_, k) => k < MOST_OPTIONAL && (mask >> k) & 1)];
      const enough = [...asked(used)].every(([s, n]) => there(s) >= n);
      if (enough && mine.every((n) => holds(n.node, used, []))) return used;
    }
    return always;
  };

  const supplies = (used) =>
    [...asked(used)]
      .sort(([a], [b]) => a - b)
      .map(([supply, demand]) => ({
        party,
        supply,
        there: there(supply),
        demand,
        from: sources(supply).map((s) => [s.item, s.count]),
      }));
  return { choice, holds, supplies };
}
