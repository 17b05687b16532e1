// The leader's page and the card of what stays, after a change by hand.

/** Keeps what a region held, to be put back when all changes are taken back. */
function region(page, selector) {
  const node = one(selector);
  return node && { node, nodes: [...node.childNodes] };
}

function show(page, kept, made) {
  if (!kept) return;
  if (page.changes().length === 0) kept.node.replaceChildren(...kept.nodes);
  else kept.node.replaceChildren(...made());
}

function statusOf(page) {
  const { order, found, units } = page;
  const n = page.changes().length;
  const unmet = found.needs.filter((x) => !x.met).length;
  const over = found.carriers.filter((f) => takesKit(order, f.carrier) && f.load > f.usable).length;
  const needs =
    found.needs.length === 0
      ? "No needs were given."
      : unmet > 0
        ? `NOT MET: ${plural(unmet, "need", "needs")}.`
        : `Needs met: ${found.needs.length} of ${found.needs.length}.`;
  const limits =
    over > 0
      ? `OVER THE LIMIT: ${plural(over, "carrier", "carriers")}.`
      : `No limit is passed; the fullest load is at ${shareText(found.peak.load, found.peak.limit)}.`;
  const out = [
    el(
      "p",
      {},
      `Changed by hand: ${plural(n, "change", "changes")}. How good the plan was does not hold of it any more.`,
    ),
  ];
  out.push(el("p", {}, `${needs} ${limits}`));
  out.push(
    el("ol", {}, ...page.changes().map((c) => el("li", {}, ...rich(changeParts(order, c))))),
  );
  if (found.faults.length === 0)
    out.push(el("p", {}, "Nothing is broken: limits, needs and rules are kept."));
  else {
    out.push(
      el(
        "p",
        {},
        el(
          "strong",
          {},
          `BROKEN: ${plural(found.faults.length, "thing", "things")}. Do not set out with it.`,
        ),
      ),
    );
    out.push(listOf(found.faults.map((f) => faultParts(order, f, units))));
  }
  return out;
}

function metBy(page, by) {
  const { order } = page;
  return by.flatMap((b, k) => {
    const mark = k === 0 ? [] : ["; "];
    if (b.item === undefined) {
      const supply = order.supplies[b.supply];
      const of = supply.dimension === "count" ? " " : " of ";
      return [
        ...mark,
        amountOf(b.demand, supply.dimension, page),
        of,
        ...rich([{ name: supply.id }]),
      ];
    }
    const more = [];
    if (b.there > b.asked) more.push(`${b.there} there`);
    if (b.inCases > 0) more.push(`${b.inCases} in a case`);
    return [
      ...mark,
      `${b.asked} `,
      ...rich([itemName(order, b.item)]),
      more.length > 0 ? ` (${more.join(", ")})` : "",
    ];
  });
}

function needRow(page, need, n) {
  const { order } = page;
  const found = page.found.needs[n];
  return el(
    "tr",
    { "data-need": n },
    el("td", { class: "word" }, el("strong", {}, found.met ? "met" : "NOT MET")),
    el("th", { scope: "row" }, ...rich([partyName(order, need.party), ": ", { name: need.name }])),
    el("td", {}, ...metBy(page, found.by)),
  );
}

function supplyRow(page, s) {
  const { order } = page;
  const { id, dimension } = order.supplies[s.supply];
  const [short, gap] = [
    s.there < s.demand,
    s.there < s.demand ? s.demand - s.there : s.there - s.demand,
  ];
  const from = s.from.flatMap(([i, n], k) => [
    k === 0 ? "" : "; ",
    `${n} `,
    ...rich([itemName(order, i)]),
  ]);
  const number = (...of) => el("td", { class: "number" }, ...of);
  return el(
    "tr",
    {},
    el("th", { scope: "row" }, ...rich([partyName(order, s.party), ": ", { name: id }])),
    number(amountOf(s.there, dimension, page)),
    number(amountOf(s.demand, dimension, page)),
    number(...(short ? [el("strong", {}, "SHORT by ")] : []), amountOf(gap, dimension, page)),
    el("td", {}, ...from),
  );
}

function wantRow(page, [party, item, value, upTo], w) {
  const taken = page.found.wants[w];
  const word = taken === 0 ? "left" : taken < upTo ? "part" : "taken";
  return el(
    "tr",
    {},
    el("td", { class: "word" }, el("strong", {}, word)),
    el("td", { class: "word" }, `${taken} of ${upTo}`),
    el("th", { scope: "row" }, ...rich([itemName(page.order, item)])),
    el("td", {}, ...rich([partyName(page.order, party)])),
    el("td", { class: "number" }, String(value)),
  );
}

const leftMass = ({ order, found }) =>
  found.left.reduce((sum, l) => add(sum, times(order.items[l.item].mass, BigInt(l.count))), 0n);

/** What stays, on the leader's page. */
function staysOf(page) {
  const { order, found } = page;
  const title =
    order.store === null
      ? ["What is left behind"]
      : rich(["What stays with ", partyName(order, order.store)]);
  if (found.left.length === 0) return [el("h3", {}, "Nothing stays")];
  const things = found.left.flatMap((l, k) => [
    k === 0 ? "" : "; ",
    `${l.count} `,
    ...rich([itemName(order, l.item)]),
  ]);
  return [
    el("h3", {}, ...title, ", ", massOf(leftMass(page), page.units)),
    el("p", {}, ...things, "."),
  ];
}

/** A row of the card of what stays. */
function stayRow(page, l) {
  const { order, found } = page;
  const x = order.items[l.item];
  const before = page.firstLeft.get(l.item) ?? 0;
  const changed = before !== l.count;
  const key = changed ? `left/${x.id}/there/${l.count}` : `left/${x.id}/there`;
  const name = nameCell(page, l.item);
  if (changed) name.append(el("div", { class: "by-hand-mark" }, `changed by hand: was ${before}`));
  const cells = [tickBox(page, key, `There: ${l.count} ${x.name}`)];
  cells.push(
    el("td", { class: "count" }, String(l.count)),
    el("td", { class: "count" }, String(x.held)),
    name,
  );
  const stores =
    order.store === null
      ? []
      : order.parties[order.store].who.filter((c) => !order.carriers[c].person);
  if (stores.length > 1) {
    const on = found.carriers
      .filter((f) => f.party === order.store)
      .flatMap((f) => f.lines.filter((m) => m.item === l.item).map((m) => [f.carrier, m.count]));
    const words = on.flatMap(([c, n], k) => [
      k === 0 ? "" : ", ",
      on.length > 1 ? `${n} ` : "",
      ...rich([carrierName(order, c)]),
    ]);
    cells.push(el("td", {}, ...words));
  }
  cells.push(el("td", { class: "number" }, massOf(times(x.mass, BigInt(l.count)), page.units)));
  const tr = el("tr", { "data-item": l.item }, ...cells);
  if (changed) tr.classList.add("by-hand");
  return tr;
}

/** The card of what stays, where the plan left nothing. */
function makeStays(page) {
  const { order } = page;
  const title = () =>
    order.store === null
      ? ["What is left behind"]
      : rich(["What stays with ", partyName(order, order.store)]);
  const heads = [
    ["box", "There"],
    ["count", "Count"],
    ["count", "Of"],
    ["", "Thing"],
    ["number", "Mass"],
  ];
  const stores =
    order.store === null
      ? 0
      : order.parties[order.store].who.filter((c) => !order.carriers[c].person).length;
  if (stores > 1) heads.splice(4, 0, ["", "On"]);
  const whose = el(
    "th",
    { colspan: String(heads.length), scope: "colgroup" },
    ...title(),
    ": ",
    el("span", { "data-is": "things" }),
  );
  const cells = heads.map(([kind, text]) =>
    el("th", { scope: "col", ...(kind ? { class: kind } : {}) }, text),
  );
  const columns = heads.map(([kind]) => el("col", kind ? { class: kind } : {}));
  const head = el("thead", {}, el("tr", { class: "whose" }, whose), el("tr", {}, ...cells));
  const body = el("tbody", { "data-region": "staysRows" });
  const sum = el(
    "p",
    {},
    ...rich([{ name: order.name }]),
    " · ",
    massOf(0n, page.units, "sum"),
    " in all",
  );
  const top = el("header", {}, el("h2", { id: "stays-name" }, ...title()), sum);
  const card = el(
    "section",
    { class: "card", id: "stays", "aria-labelledby": "stays-name", hidden: "" },
    top,
    el("table", { class: "things" }, el("colgroup", {}, ...columns), head, body),
  );
  one("#cards").append(card);
}

/** Everything on the leader's page and the card of what stays. */
function showLeader(page) {
  const { order, found, regions } = page;
  show(page, regions.status, () => statusOf(page));
  show(page, regions.needs, () => order.needs.map((n, k) => needRow(page, n, k)));
  show(page, regions.supplies, () => found.supplies.map((s) => supplyRow(page, s)));
  show(page, regions.wants, () => order.wants.map((w, k) => wantRow(page, w, k)));
  show(page, regions.value, () => [`Wants: value ${found.value} taken`]);
  show(page, regions.stays, () => staysOf(page));
  one("#stays").hidden = found.left.length === 0;
  show(page, regions.staysRows, () => found.left.map((l) => stayRow(page, l)));
  for (const sum of all('#stays [data-is="sum"]')) {
    sum.dataset.mg = leftMass(page);
    sum.textContent = massText(leftMass(page), page.units);
  }
  for (const count of all('#stays [data-is="things"]')) {
    const things = found.left.reduce((sum, l) => sum + l.count, 0);
    count.textContent = plural(things, "thing", "things");
  }
  showBoards(page);
}

/** The boards in words, for those who do not see them. */
function showBoards(page) {
  const { order, found, units } = page;
  const words = (c) => {
    const f = found.carriers.find((x) => x.carrier === c);
    const load = ofText(massText(f.load, units), massText(f.limit, units));
    return `${order.carriers[c].name}: ${load}, ${shareText(f.load, f.limit)}`;
  };
  for (const board of all(".board svg")) {
    const rows = all("g[data-carrier]", board).map((g) => words(Number(g.dataset.carrier)));
    const desc = one("desc", board);
    if (desc && rows.length > 0) desc.textContent = `${rows.join("; ")}.`;
  }
}
