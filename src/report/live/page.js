// The page: what it was made of, what was changed by hand, and how it shows.

function startPage() {
  const source = one("#sheet-data").textContent;
  const order = ready(JSON.parse(source));
  const device = storeFor(digest(source));
  const page = {
    order,
    device,
    units:
      device.read("units") === "imperial" ||
      (device.read("units") === null && order.units === "imperial")
        ? "imperial"
        : "metric",
    ticks: new Set(listOfTexts(device.read("ticks"))),
    history: { changes: [], at: 0 },
    placed: canonical(order.plan),
    found: null,
    /** What could not be brought back, in words. */
    lost: "",
    changes: () => page.history.changes.slice(0, page.history.at),
  };
  bringBack(page);
  const first = audit(order, order.plan);
  page.first = new Map(first.carriers.map((f) => [f.carrier, f]));
  page.firstLeft = new Map(first.left.map((l) => [l.item, l.count]));
  page.names = new Map();
  for (const row of all(".card tr[data-item]")) {
    const item = Number(row.dataset.item);
    if (!page.names.has(item)) page.names.set(item, one("th", row).cloneNode(true));
  }
  page.tables = new Map();
  page.figures = new Map();
  for (const card of all(".card[data-carrier]")) {
    const slot = one('[data-region="things"]', card);
    page.figures.set(Number(card.dataset.carrier), one("svg.figure", card));
    page.tables.set(Number(card.dataset.carrier), {
      slot,
      nodes: [...slot.childNodes],
      table: one("table", slot),
    });
  }
  if (!one("#stays")) makeStays(page);
  const regions = ["status", "needs", "supplies", "wants", "value", "stays", "staysRows"];
  page.regions = Object.fromEntries(
    regions.map((name) => [name, region(page, `[data-region="${name}"]`)]),
  );

  const keep = () => {
    const { changes, at } = page.history;
    device.write("by-hand", changes.length === 0 ? null : { changes, at });
  };
  page.push = (change) => {
    const { changes, at } = page.history;
    page.history = { changes: [...changes.slice(0, at), change], at: at + 1 };
    keep();
  };
  page.step = (by) => {
    page.history.at = Math.min(Math.max(page.history.at + by, 0), page.history.changes.length);
    keep();
  };
  page.update = () => {
    page.placed = replay(order, page.changes());
    page.found = audit(order, page.placed);
    document.body.classList.toggle("changed", page.changes().length > 0);
    for (const f of page.found.carriers) {
      if (!takesKit(order, f.carrier)) continue;
      for (const block of all(`[data-carrier="${f.carrier}"]`)) {
        showNumbers(page, block, f);
        if (!block.classList.contains("card")) continue;
        showTable(page, block, f);
        showNotes(page, block, f.carrier);
      }
    }
    showLeader(page);
    showUnits(page);
    all("[data-tick]").forEach((b) => (b.checked = page.ticks.has(b.dataset.tick)));
    page.showByHand?.();
    page.countTicks?.();
    page.refilter?.();
  };
  startTools(page);
  startByHand(page);
  page.update();
  // What no device keeps would be lost without a word.
  window.addEventListener("beforeunload", (event) => {
    if (page.changes().length > 0 && !device.keeps) event.preventDefault();
  });
}

const listOfTexts = (value) =>
  Array.isArray(value) ? value.filter((v) => typeof v === "string") : [];

/** Changes that were made before, as far as they can still be made. */
function bringBack(page) {
  const kept = page.device.read("by-hand");
  if (kept === null || !Array.isArray(kept.changes)) return;
  const changes = [];
  let placed = page.placed;
  for (const change of kept.changes) {
    placed = wellFormed(change) ? apply(page.order, placed, change) : null;
    if (placed === null) break;
    changes.push(change);
  }
  const rest = kept.changes.length - changes.length;
  if (rest > 0)
    page.lost = `${plural(rest, "change", "changes")} kept on this device could not be made again.`;
  const at = Number.isInteger(kept.at) ? kept.at : changes.length;
  page.history = { changes, at: Math.min(Math.max(at, 0), changes.length) };
}

function wellFormed(change) {
  const place = (p) =>
    p === null ||
    (Number.isInteger(p?.by) &&
      WAYS.includes(p.way) &&
      (p.with === null || Number.isInteger(p.with)));
  return (
    Number.isInteger(change?.item) &&
    Number.isInteger(change.count) &&
    place(change.from ?? null) &&
    place(change.to ?? null)
  );
}
