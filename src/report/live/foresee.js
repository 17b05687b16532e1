// What a change by hand would come to, and what is broken, as the form says it.

/** The loads of those whom a change touches. */
function loadsOf(page, found, change) {
  const { order, units } = page;
  const row = (f) => {
    const was = page.found.carriers.find((x) => x.carrier === f.carrier);
    const load = ofText(massText(f.load, units), massText(f.limit, units));
    const parts = say`${carrierName(order, f.carrier)}: ${load}, ${shareText(f.load, f.limit)} (now ${shareText(was.load, was.limit)})`;
    if (order.carriers[f.carrier].person)
      parts.push(`, hands free ${Math.max(0, f.hands - f.used)} of ${f.hands}`);
    if (f.room !== null)
      parts.push(
        `, ${order.carriers[f.carrier].person ? "pack" : "bed"} ${ofText(bulkText(f.bulk), bulkText(f.room))}`,
      );
    return parts;
  };
  return listOf(found.carriers.filter((f) => touches(change, f.carrier)).map(row));
}

/** The kind of a fault, and whom and what it is about. */
function aboutOf(order, f) {
  const about = [
    order.carriers[f.carrier]?.id,
    order.parties[f.party]?.id,
    order.items[f.item ?? (f.items?.length === 1 ? f.items[0] : undefined)]?.id,
    f.way,
    order.needs[f.need]?.name,
  ];
  return about.filter((x) => x !== undefined).join(" ");
}

const faultItem = (page, f) =>
  el(
    "li",
    { "data-fault": f.kind, "data-about": aboutOf(page.order, f) },
    ...rich(faultParts(page.order, f, page.units)),
  );

/** What a change would break and mend, beside what is broken already. */
function breaks(page, found) {
  // Further into a load is the same fault, only worse.
  const kind = (f) => (f.kind === "reserve" ? "over" : f.kind);
  const key = (f) => `${kind(f)} ${aboutOf(page.order, f)} ${f.rule ?? ""}`;
  const [now, then] = [page.found.faults, found.faults].map((of) => new Set(of.map(key)));
  const fresh = found.faults.filter((f) => !now.has(key(f)));
  const mended = page.found.faults.filter((f) => !then.has(key(f)));
  const out = [];
  if (fresh.length > 0) {
    out.push(
      el(
        "div",
        { class: "broken" },
        el("p", {}, el("strong", {}, "It would BREAK:")),
        el("ul", {}, ...fresh.map((f) => faultItem(page, f))),
      ),
    );
  }
  if (mended.length > 0) {
    out.push(
      el("p", {}, "It would mend:"),
      listOf(mended.map((f) => faultParts(page.order, f, page.units))),
    );
  }
  const still = found.faults.length - fresh.length;
  if (still > 0)
    out.push(
      el("p", { "data-still": still }, `${plural(still, "thing", "things")} would stay broken.`),
    );
  if (found.faults.length === 0)
    out.push(el("p", {}, "Nothing would be broken: limits, needs and rules are kept."));
  return out;
}

/** What is broken, or that nothing is. */
function brokenOf(page, found) {
  if (found.faults.length === 0)
    return el("p", {}, "Nothing is broken: limits, needs and rules are kept.");
  const faults = found.faults.map((f) => faultItem(page, f));
  return el(
    "div",
    { class: "broken" },
    el("p", {}, el("strong", {}, `BROKEN: ${plural(faults.length, "thing", "things")}`)),
    el("ul", {}, ...faults),
  );
}
