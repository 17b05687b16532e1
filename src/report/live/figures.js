// The drawings of the cards after a change by hand: a walker, or a bed, put
// together of the parts that the page brought.

const SPOTS = ["back", "chest", "shoulder", "belt", "right hand", "left hand", "both hands"];

/** What rides at each place on a person, in the order of the marks. */
function ridesOf(order, found) {
  const held = grips(order, found);
  const spotOf = (line, grip) =>
    grip === null ? line.way : grip === "one in each hand" ? "both hands" : grip;
  const at = found.lines.map((line, k) => ({ line, spot: spotOf(line, held[k]), grip: held[k] }));
  return SPOTS.flatMap((spot) => {
    const mine = at.filter((x) => x.spot === spot);
    if (mine.length === 0) return [];
    return [
      {
        spot,
        things: mine.reduce((sum, x) => sum + x.line.count, 0),
        mass: mine.reduce((sum, x) => add(sum, x.line.mass), 0n),
        with: mine.map((x) => x.line.with).find((w) => w !== null) ?? null,
        each: mine.some((x) => x.grip === "one in each hand"),
      },
    ];
  });
}

const WIDE =
  /[\u1100-\u115f\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6\u{1f300}-\u{1faff}\u{20000}-\u{3fffd}]/u;

/** At most so many columns; what does not fit the frame is cut by it too. */
function fitted(text, most) {
  const columns = (part) =>
    [...part].reduce((sum, c) => sum + (WIDE.test(c) ? 2 : /\p{M}/u.test(c) ? 0 : 1), 0);
  if (columns(text) <= most) return text;
  let head = "";
  for (const c of text) {
    if (columns(head + c) > most - 1) break;
    head += c;
  }
  return `${head}…`;
}

/** The figure of a person for what is carried now. */
function figureOf(page, kept, found) {
  const { order, units } = page;
  const rides = ridesOf(order, found);
  const parts = (name) =>
    all(`[data-part="${name}"] > *`, one("#figure-parts").content).map((n) => n.cloneNode(true));
  const name = (c) => order.carriers[c].name;
  const made = kept.cloneNode(false);
  const [title, desc] = [one("title", kept).cloneNode(true), one("desc", kept).cloneNode(true)];
  const words = rides.map((r) => {
    const mate = r.with === null ? "" : `, with ${name(r.with)}`;
    return `${r.spot}: ${plural(r.things, "thing", "things")}, ${massText(r.mass, units)}${mate}`;
  });
  desc.textContent = words.length === 0 ? "Nothing." : `${words.join("; ")}.`;
  const drawn = one("g", kept).cloneNode(false);
  const has = (spot) => rides.some((r) => r.spot === spot);
  if (has("back")) drawn.append(...parts("pack"));
  drawn.append(...parts("walker"));
  [
    ["shoulder", "satchel"],
    ["chest", "pouch"],
    ["belt", "belt"],
  ].forEach(([spot, part]) => has(spot) && drawn.append(...parts(part)));
  for (const r of rides) {
    if (r.each) drawn.append(...parts("right hand"), ...parts("left hand"));
    else if (r.spot.endsWith("hand") || r.spot === "both hands")
      drawn.append(...parts(r.with === null ? r.spot : `${r.spot} pair`));
  }
  made.append(title, desc, drawn);
  for (const r of rides) {
    const label = parts(r.with === null ? `at ${r.spot}` : `at ${r.spot} pair`);
    made.append(...label);
    const told = label.flatMap((n) => (n.matches("[data-is]") ? [n] : all("[data-is]", n)));
    for (const cell of told) {
      if (cell.dataset.is === "things") {
        cell.textContent =
          r.with === null
            ? plural(r.things, "thing", "things")
            : `with ${fitted(name(r.with), 11)}`;
      } else {
        cell.dataset.mg = r.mass;
        cell.dataset.way = r.with !== null ? "pair" : /hand/.test(r.spot) ? "hand" : r.spot;
        cell.textContent = massText(r.mass, units);
      }
    }
  }
  return made;
}

/** The bed for what is on it now: two layers, each shown if there is some. */
function bedOf(page, kept, found) {
  const { order, units } = page;
  const made = kept.cloneNode(true);
  const sums = { low: 0n, high: 0n };
  for (const { line, place } of rowsOf(order, found)) {
    const layer = place[0] === "on top" ? "high" : "low";
    sums[layer] = add(sums[layer], line.mass);
  }
  for (const [layer, sum] of Object.entries(sums)) {
    all(`[data-layer="${layer}"]`, made).forEach((g) =>
      sum > 0n ? g.removeAttribute("display") : g.setAttribute("display", "none"),
    );
    const cell = one(`[data-is="${layer}"]`, made);
    cell.dataset.mg = sum;
    cell.textContent = massText(sum, units);
  }
  const where = order.carriers[found.carrier].hauled
    ? "low and near the middle"
    : "low and forward";
  one("desc", made).textContent =
    `The heaviest ${where}: ${massText(sums.low, units)}. On top: ${massText(sums.high, units)}.`;
  return made;
}

function showFigure(page, card, found, same) {
  const kept = page.figures.get(found.carrier);
  if (!kept) return;
  const { person } = page.order.carriers[found.carrier];
  const made = same ? kept : person ? figureOf(page, kept, found) : bedOf(page, kept, found);
  const shown = one("svg.figure", card);
  if (shown !== made) shown.replaceWith(made);
}
