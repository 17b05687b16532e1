// The cards after a change by hand: tables, numbers, bars, and what is broken.

/** Which hand holds what, as the sheet proposes it: of a pair the first in the
    move order has the thing to the right. */
function grips(order, found) {
  const side = (l) => (found.carrier < l.with ? "right hand" : "left hand");
  const pair = found.lines.find((l) => l.way === "pair");
  const free = ["right hand", "left hand"].filter((g) => !pair || g !== side(pair));
  return found.lines.map((l) => {
    if (l.way === "pair") return side(l);
    if (l.way !== "hand") return null;
    if (order.items[l.item].hands === 2) return "both hands";
    if (l.count === 1) return free.shift() ?? "right hand";
    return "one in each hand";
  });
}

/** The numbers of the figure for a place on a person. */
const marksOf = (line, grip) => {
  const fixed = { back: ["1"], chest: ["2"], shoulder: ["3"], belt: ["4"] }[line.way];
  if (fixed) return fixed;
  return { "right hand": ["5"], "left hand": ["6"] }[grip] ?? ["5", "6"];
};

/** The lines of a card in its order, each with the words of its place. */
function rowsOf(order, found) {
  const carrier = order.carriers[found.carrier];
  if (carrier.person) {
    const held = grips(order, found);
    return found.lines.map((line, k) => {
      const marks = marksOf(line, held[k]).map((m) =>
        el("span", { class: "mark", "aria-hidden": "true" }, m),
      );
      const place = [...marks, ` ${held[k] ?? line.way}`];
      if (line.with !== null) place.push(", pair with ", ...rich([carrierName(order, line.with)]));
      return { line, place };
    });
  }
  // The heaviest low, until half of the kit's mass is down.
  const mass = (l) => order.items[l.item].mass;
  const lines = [...found.lines].sort((a, b) =>
    mass(a) < mass(b) ? 1 : mass(a) > mass(b) ? -1 : a.item - b.item,
  );
  const kit = lines.reduce((sum, l) => sum + l.mass, 0n);
  let down = 0n;
  const low = carrier.hauled ? "low, middle" : "low, forward";
  return lines.map((line) => {
    const place = [down * 2n < kit ? low : "on top"];
    down += line.mass;
    return { line, place };
  });
}

/** The name of an item and what is in it, as some card has them. */
function nameCell(page, item) {
  const cell = page.names.get(item);
  return cell
    ? cell.cloneNode(true)
    : el("th", { scope: "row" }, ...rich([itemName(page.order, item)]));
}

const tickBox = (page, key, label) => {
  const input = el("input", { type: "checkbox", "data-tick": key });
  input.checked = page.ticks.has(key);
  return el(
    "td",
    { class: "box" },
    el("label", { class: "tick" }, input, el("span", { class: "unseen" }, label)),
  );
};

/** A row of a card. What changed has boxes of its own: it is to be packed anew. */
function row(page, found, { line, place }) {
  const { order } = page;
  const person = order.carriers[found.carrier].person;
  const id = order.carriers[found.carrier].id;
  const [item, mate] = [
    order.items[line.item],
    line.with === null ? "" : `/${order.carriers[line.with].id}`,
  ];
  const key = `${id}/${item.id}/${line.way}${mate}`;
  const before = page.first.get(found.carrier).lines.find((l) => samePlaceOnCard(l, line));
  const changed = !before || before.count !== line.count;
  const ticks = person
    ? [
        ["packed", "Packed"],
        ["handed-over", "Handed over"],
      ]
    : [
        ["loaded", "Loaded"],
        ["handed-over", "Handed over"],
      ];
  const boxes = ticks.map(([short, label]) => {
    const full = changed ? `${key}/${short}/${line.count}` : `${key}/${short}`;
    return tickBox(page, full, `${label}: ${line.count} ${item.name}`);
  });
  const name = nameCell(page, line.item);
  if (changed)
    name.append(
      el(
        "div",
        { class: "by-hand-mark" },
        before ? `changed by hand: was ${before.count}` : "new by hand",
      ),
    );
  const tr = el("tr", { "data-item": line.item, "data-way": line.way });
  if (changed) tr.classList.add("by-hand");
  tr.append(
    ...boxes,
    el("td", { class: "count" }, String(line.count)),
    name,
    el("td", { class: "way" }, ...place),
    el("td", { class: "number" }, massOf(line.mass, page.units)),
  );
  return tr;
}

const samePlaceOnCard = (a, b) => a.item === b.item && a.way === b.way && a.with === b.with;
const sameLines = (a, b) =>
  a.lines.length === b.lines.length &&
  a.lines.every((l, k) => samePlaceOnCard(l, b.lines[k]) && l.count === b.lines[k].count);

/** A table for a card that had none. */
function newTable(person) {
  const heads = [person ? "Packed" : "Loaded", "Handed over"].map((h) =>
    el("th", { class: "box", scope: "col" }, h),
  );
  heads.push(
    el("th", { class: "count", scope: "col" }, "Count"),
    el("th", { scope: "col" }, "Thing"),
  );
  heads.push(
    el("th", { class: "way", scope: "col" }, person ? "Way" : "On the bed"),
    el("th", { class: "number", scope: "col" }, "Mass"),
  );
  const whose = el("tr", { class: "whose" }, el("th", { colspan: "6", scope: "colgroup" }));
  const columns = heads.map((h) => el("col", h.className ? { class: h.className } : {}));
  return el(
    "table",
    { class: "things" },
    el("colgroup", {}, ...columns),
    el("thead", {}, whose, el("tr", {}, ...heads)),
    el("tbody"),
  );
}

/** The table of a card, or none, for what the carrier has now. */
function showTable(page, card, found) {
  const { order } = page;
  const kept = page.tables.get(found.carrier);
  const slot = kept.slot;
  const same = sameLines(found, page.first.get(found.carrier));
  card.classList.toggle("by-hand", !same);
  showFigure(page, card, found, same);
  if (same) {
    if (slot.firstChild !== kept.nodes[0]) slot.replaceChildren(...kept.nodes);
    return;
  }
  if (found.lines.length === 0) {
    slot.replaceChildren(
      el("p", {}, ...rich([carrierName(order, found.carrier)]), " carries nothing of the kit."),
    );
    return;
  }
  const table = kept.table
    ? kept.table.cloneNode(true)
    : newTable(order.carriers[found.carrier].person);
  const things = found.lines.reduce((sum, l) => sum + l.count, 0);
  one(".whose th", table).replaceChildren(
    ...rich([carrierName(order, found.carrier)]),
    `: ${plural(things, "thing", "things")}`,
  );
  one("tbody", table).replaceChildren(...rowsOf(order, found).map((r) => row(page, found, r)));
  slot.replaceChildren(
    table,
    ...kept.nodes.filter((n) => n !== kept.table).map((n) => n.cloneNode(true)),
  );
}

/** Every printed number of a carrier, wherever it stands. */
function showNumbers(page, block, found) {
  const { units } = page;
  const masses = { load: found.load, left: less(found.usable, found.load), worst: found.worst };
  masses.kit = found.lines.reduce((sum, l) => add(sum, l.mass), 0n);
  for (const cell of all("[data-is]", block)) {
    const is = cell.dataset.is;
    if (masses[is] !== undefined && masses[is] !== null) {
      cell.dataset.mg = masses[is];
      cell.textContent = massText(masses[is], units);
    } else if (is === "share") cell.textContent = shareText(found.load, found.limit);
    else if (is === "hands") cell.textContent = String(Math.max(0, found.hands - found.used));
    else if (is === "bulk") {
      cell.dataset.ml = found.bulk;
      cell.textContent = bulkText(found.bulk);
    }
  }
  block.classList.toggle("over", found.load > found.usable);
  all('rect[fill="none"]', block).forEach((outline) => showBar(outline, found));
}

/** A bar as long as the load is of the limit: its parts beside the outline. */
function showBar(outline, found) {
  const full = BigInt(outline.getAttribute("width"));
  const most = (full + 22n) * 10n;
  const along = (part) => {
    const at = (part * full * 10n) / (found.limit > 0n ? found.limit : 1n);
    return at < most ? at : most;
  };
  const tenths = (n) => `${n / 10n}.${n % 10n}`;
  const part = (which, from, to, fill) => {
    let bar = one(`[data-bar="${which}"]`, outline.parentNode);
    if (!bar && to > from) {
      bar = document.createElementNS(outline.namespaceURI, "rect");
      Object.entries({
        "data-bar": which,
        y: outline.getAttribute("y"),
        height: "16",
        fill,
      }).forEach(([k, v]) => bar.setAttribute(k, v));
      outline.before(bar);
    }
    if (!bar) return;
    bar.setAttribute("x", tenths(from));
    bar.setAttribute("width", tenths(to > from ? to - from : 0n));
  };
  const [worn, load, usable, limit] = [found.burden, found.load, found.usable, found.limit].map(
    along,
  );
  part("kept", usable > load ? usable : load, limit, "url(#shade-kept)");
  part("kit", worn, load, "#444");
}

const listOf = (rows) => el("ul", {}, ...rows.map((r) => el("li", {}, ...rich(r))));

/** What was changed and what is broken, on the card. */
function showNotes(page, card, c) {
  const { order, placed, found, units } = page;
  const changes = page.changes().filter((change) => touches(change, c));
  const faults = found.faults.filter((f) => concerned(order, placed, f).includes(c));
  one(".by-hand-note", card)?.remove();
  if (changes.length + faults.length === 0 || page.changes().length === 0) return;
  const note = el("div", { class: "by-hand-note" });
  if (changes.length > 0) {
    note.append(
      el("p", {}, el("strong", {}, "Changed by hand")),
      listOf(changes.map((x) => changeParts(order, x))),
    );
  }
  if (faults.length > 0) {
    note.append(
      el("p", {}, el("strong", {}, "BROKEN")),
      listOf(faults.map((f) => faultParts(order, f, units))),
    );
  }
  one("header", card).after(note);
}
