// The form for moving something to somebody else: selects and buttons alone,
// with what would come of it said before it is done.

function startByHand(page) {
  const section = one("#by-hand");
  if (!section) return;
  const { order } = page;
  const from = choice("hand-from", []);
  const thing = choice("hand-thing", []);
  const count = el("input", {
    id: "hand-count",
    type: "number",
    min: "1",
    step: "1",
    inputmode: "numeric",
    value: "1",
  });
  const to = choice("hand-to", []);
  const way = choice("hand-way", []);
  const mate = choice("hand-with", []);
  const end = choice("hand-end", []);
  const ask = {
    from: field("Who has it", from),
    thing: field("What", thing),
    count: field("How many", count),
    to: field("To whom", to),
    way: field("How", way),
    mate: field("With whom", mate),
    end: field("Whose end is which", end),
  };
  const preview = el("div", { id: "hand-preview", role: "status", "aria-live": "polite" });
  const told = el("div", { id: "hand-told", role: "status", "aria-live": "polite" });
  const list = el("ol", { id: "hand-changes" });
  const unkept = el(
    "p",
    { class: "lost" },
    "Changes cannot be kept on this device: copy them as text, or print, before you leave.",
  );
  const text = el("textarea", { id: "hand-text", readonly: "", rows: "6" });
  const asked = el(
    "p",
    { class: "field" },
    el("label", { for: "hand-text" }, "The changes as text"),
    text,
  );
  asked.hidden = true;

  const name = (c) => (c === null ? "nobody: left behind" : order.carriers[c].name);
  const number = (value) => (value === "" ? null : Number(value));
  const giver = () => number(from.value);
  const held = () => holdings(order, page.placed, giver());
  const chosen = () => held()[Number(thing.value)] ?? null;
  const placeName = (h) => {
    if (h.from === null) return "";
    if (h.from.way !== "pair") return `, ${h.from.way}`;
    const other = h.from.by === giver() ? h.from.with : h.from.by;
    return `, pair with ${order.carriers[other].name}`;
  };
  const percent = (ppm) => `${trimmed(ppm, 4)} %`;

  /** The change that the form asks for, or null. */
  const wanted = () => {
    const h = chosen();
    if (!h || to.value === "" || way.options.length + (to.value === "left" ? 1 : 0) === 0)
      return null;
    let place = null;
    if (to.value !== "left") {
      const c = Number(to.value);
      place = { by: c, way: way.value, with: null };
      if (way.value === "pair") {
        const other = Number(mate.value);
        place =
          end.value === "second"
            ? pairPlace(order, h.item, other, c)
            : pairPlace(order, h.item, c, other);
      }
    }
    return { item: h.item, count: Number(count.value), from: h.from, to: place };
  };

  const fill = () => {
    const givers = order.carriers
      .map((_, c) => c)
      .filter((c) => holdings(order, page.placed, c).length > 0);
    if (behind(order, page.placed).length > 0) givers.push(null);
    setOptions(
      from,
      givers.map((c) => [c === null ? "" : String(c), name(c)]),
    );
    setOptions(
      thing,
      held().map((h, k) => [String(k), `${h.count} ${order.items[h.item].name}${placeName(h)}`]),
    );
    const h = chosen();
    const takers = h
      ? order.carriers.map((_, c) => c).filter((c) => takesKit(order, c) && waysTo(h, c).length > 0)
      : [];
    // Who has it may take it another way, but that is seldom what is wanted.
    takers.sort((a, b) => (a === giver()) - (b === giver()) || a - b);
    const options = takers.map((c) => [
      String(c),
      name(c) + (c === giver() ? " (another way)" : ""),
    ]);
    if (h && order.store === null && h.from !== null) options.push(["left", name(null)]);
    setOptions(to, options);
    const c = to.value === "left" || to.value === "" ? null : Number(to.value);
    setOptions(way, h && c !== null ? waysTo(h, c).map((w) => [w, wayWords(h.item, w)]) : []);
    const pair = c !== null && way.value === "pair";
    setOptions(mate, pair ? mates(order, c).map((m) => [String(m), order.carriers[m].name]) : []);
    const [a, b] = h ? order.items[h.item].pair : [];
    setOptions(
      end,
      pair && !evenPair(order, h.item)
        ? [
            ["first", `${name(c)} ${percent(a)}, ${name(Number(mate.value))} ${percent(b)}`],
            ["second", `${name(c)} ${percent(b)}, ${name(Number(mate.value))} ${percent(a)}`],
          ]
        : [],
    );
    ask.way.hidden = c === null;
    ask.mate.hidden = !pair;
    ask.end.hidden = end.options.length === 0;
    count.max = String(h ? (pair ? 1 : h.count) : 1);
    if (pair) count.value = "1";
    move.disabled = !h;
  };
  const wayWords = (item, w) => {
    if (w === "bed") return "on the bed";
    if (w === "pair") return "pair: two people, a hand each";
    if (w === "hand") return order.items[item].hands === 2 ? "hand: both hands" : "hand";
    return w;
  };
  /** Ways to take it that are not how it is now. */
  const waysTo = (h, c) =>
    waysOf(order, h.item, c).filter(
      (w) => w === "pair" || !h.from || !samePlace(h.from, { by: c, way: w, with: null }),
    );

  /** What is wrong with the number, in words. */
  const badCount = () => {
    const n = Number(count.value);
    const most = Number(count.max);
    if (Number.isInteger(n) && n >= 1 && n <= most) return null;
    return most === 1 ? "one at a time: write 1" : `how many: a whole number from 1 to ${most}`;
  };

  /** What it would come to. */
  const foresee = () => {
    const change = wanted();
    const bad = change && badCount();
    count.setAttribute("aria-invalid", bad ? "true" : "false");
    const placed = change && !bad ? apply(order, page.placed, change) : null;
    if (!placed) {
      preview.replaceChildren(
        el(
          "p",
          {},
          bad
            ? `Not possible: ${bad}.`
            : change
              ? "That is how it is now."
              : "Nothing can be moved from there.",
        ),
      );
      move.disabled = true;
      return;
    }
    move.disabled = false;
    const found = audit(order, placed);
    preview.replaceChildren(
      el("p", {}, el("strong", {}, "It would be: "), ...rich(changeParts(order, change))),
      loadsOf(page, found, change),
      ...breaks(page, found),
    );
  };

  const done = (words) => {
    page.update();
    const { found } = page;
    told.replaceChildren(el("p", {}, ...rich(words)), brokenOf(page, found));
    // A button that went dead would hold the keyboard.
    if (document.activeElement?.disabled) from.focus();
  };
  const move = button("Move it", () => {
    const change = wanted();
    if (!change || badCount() || !apply(order, page.placed, change)) return foresee();
    page.push(change);
    count.value = "1";
    done(say`Done: ${changeParts(order, change)}`);
  });
  const undo = button("Undo", () => {
    const last = page.history.changes[page.history.at - 1];
    page.step(-1);
    done(say`Taken back: ${changeParts(order, last)}`);
  });
  const redo = button("Redo", () => {
    page.step(1);
    done(say`Done again: ${changeParts(order, page.history.changes[page.history.at - 1])}`);
  });
  const reset = button("Take all back", () => {
    page.step(-page.history.at);
    done(say`All changes are taken back. Redo brings them again, one by one.`);
  });
  const copy = button("Copy as text", async () => {
    text.value = asText(order, page.changes(), page.found.faults, page.units);
    asked.hidden = false;
    let ok = false;
    try {
      await navigator.clipboard.writeText(text.value);
      ok = true;
    } catch {
      text.focus();
      text.select();
      ok = document.execCommand("copy");
    }
    told.replaceChildren(
      el("p", {}, ok ? "The changes are copied as text." : "Copy the text below by hand."),
    );
  });

  for (const control of [from, thing, to, way, mate, end]) {
    control.addEventListener("change", () => {
      if (control === from || control === thing) count.value = "1";
      fill();
      foresee();
    });
  }
  count.addEventListener("input", foresee);
  page.showByHand = () => {
    const { changes, at } = page.history;
    list.replaceChildren(
      ...page.changes().map((c) => el("li", {}, ...rich(changeParts(order, c)))),
    );
    list.hidden = at === 0;
    unkept.hidden = page.device.keeps || at === 0;
    [undo.disabled, reset.disabled, copy.disabled] = [at === 0, at === 0, at === 0];
    redo.disabled = at === changes.length;
    if (!asked.hidden) text.value = asText(order, page.changes(), page.found.faults, page.units);
    fill();
    foresee();
  };
  const lost = page.lost;
  section.replaceChildren(
    el("h2", { id: "by-hand-name" }, "Move something by hand"),
    el(
      "p",
      {},
      "Choose what, and read what comes of it before you move it. Changes stay on this device and print on the cards; they are marked.",
    ),
    ...(lost === "" ? [] : [el("p", { class: "lost" }, el("strong", {}, lost))]),
    el("div", { class: "form" }, ...Object.values(ask)),
    preview,
    el("p", { class: "buttons" }, move, undo, redo, reset, copy),
    told,
    unkept,
    list,
    asked,
  );
  section.setAttribute("aria-labelledby", "by-hand-name");
  section.hidden = false;
  one("nav ul")?.prepend(el("li", {}, el("a", { href: "#by-hand" }, "Move something by hand")));
}
