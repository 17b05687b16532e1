// Rules on how things are spread, what must be brought, and what things require.

function spread(counted, fault) {
  const { order } = counted;
  const outside = order.parties.flatMap((party, p) => (counted.inStore(p) ? [] : party.who));
  order.rules.forEach(({ kind, items, carriers, count }, rule) => {
    const broken = (of) => fault("rule", { rule, items, ...of });
    const has = (carrier) => items.reduce((sum, i) => sum + counted.on(i, carrier), 0);
    switch (kind) {
      case "apart":
        for (const carrier of outside) {
          const mine = items.filter((i) => counted.on(i, carrier) > 0);
          if (mine.length > 1) broken({ carrier, items: mine });
        }
        break;
      case "together":
        order.parties.forEach((_, party) => {
          if (!counted.inStore(party) && !together(counted, items, party)) broken({ party });
        });
        break;
      case "at-most":
        for (const carrier of carriers) {
          if (has(carrier) > count) broken({ carrier, count: has(carrier) });
        }
        break;
      case "fixed":
        for (const carrier of carriers) {
          if (has(carrier) < count) broken({ carrier, count: has(carrier) });
        }
    }
  });
  for (const { party, any } of order.brings) {
    const short = any.every(([item, n]) => counted.loose[party][item] < BigInt(n));
    if (short) fault("brings", { party, any });
  }
  order.parties.forEach((_, party) => {
    if (!counted.inStore(party)) required(counted, party, fault);
  });
}

/** Whether one carrier of the party has, or has an end of, all that goes. */
function together(counted, items, party) {
  const { order, placed } = counted;
  const here = placed.filter(
    (p) => items.includes(p.item) && bearers(p).every((c) => order.partyOf[c] === party),
  );
  const has = (c) => here.every((p) => bearers(p).includes(c));
  return here.length === 0 || order.parties[party].who.some(has);
}

function required(counted, party, fault) {
  const { items } = counted.order;
  const asked = items.map(() => 0n);
  const shared = items.map(() => 0n);
  items.forEach((x, i) => {
    if (x.requires.length === 0) return;
    const there = counted.there(i, party);
    for (const [item, each] of x.requires) {
      if (each !== null) asked[item] = add(asked[item], times(there, BigInt(each)));
      else if (there > 0n) shared[item] = 1n;
    }
  });
  items.forEach((_, item) => {
    const wanted = asked[item] > shared[item] ? asked[item] : shared[item];
    const there = counted.there(item, party);
    if (there < wanted) fault("requires", { party, item, there, asked: wanted });
  });
}
