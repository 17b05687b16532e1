// Filter, units and ticks: what the page offers beside the plan.

/** A select of [value, text] pairs. */
function choice(id, options) {
  const select = el("select", { id });
  setOptions(select, options);
  return select;
}

/** Fills a select, and keeps what was chosen where it is still there. */
function setOptions(select, options) {
  const chosen = select.value;
  select.replaceChildren(...options.map(([value, text]) => el("option", { value }, text)));
  if (options.some(([value]) => value === chosen)) select.value = chosen;
}

const field = (label, control) =>
  el("p", { class: "field" }, el("label", { for: control.id }, label), control);

function button(text, press) {
  const made = el("button", { type: "button" }, text);
  made.addEventListener("click", press);
  return made;
}

function startTools(page) {
  const tools = one("#tools");
  if (!tools) return;
  const parts = [
    el("h2", { class: "unseen", id: "tools-name" }, "Tools"),
    filterTools(page),
    unitTools(page),
    tickTools(page),
  ];
  tools.replaceChildren(...parts);
  tools.setAttribute("role", "region");
  tools.setAttribute("aria-labelledby", "tools-name");
  tools.hidden = false;
}

/** Cards of whom to show: by name, by party, or by what is on them. */
function filterTools(page) {
  const { order } = page;
  const cards = () => all(".card");
  const options = [["", "everybody"]];
  order.parties.forEach((p, k) => options.push([`party-${k}`, `party ${p.id}`]));
  cards()
    .filter((c) => c.dataset.carrier)
    .forEach((c) => options.push([c.id, order.carriers[Number(c.dataset.carrier)].name]));
  if (one("#stays"))
    options.push(["stays", order.store === null ? "what is left behind" : "what stays"]);
  const whose = choice("filter-whose", options);
  const text = el("input", { id: "filter-text", type: "search", autocomplete: "off" });
  const told = el("p", { role: "status", id: "filter-told" });
  const fold = (s) => s.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
  const matches = (card) => {
    const c = card.dataset.carrier === undefined ? null : Number(card.dataset.carrier);
    const [kind, k] = whose.value.split("-");
    if (
      kind === "party" &&
      (c === null ? Number(k) !== order.store : order.partyOf[c] !== Number(k))
    )
      return false;
    if (kind !== "party" && whose.value !== "" && card.id !== whose.value) return false;
    const words = [one("h2", card), ...all("tbody th bdi", card)].map((n) =>
      fold(n?.textContent ?? ""),
    );
    return words.some((w) => w.includes(fold(text.value.trim())));
  };
  const run = () => {
    const on = whose.value !== "" || text.value.trim() !== "";
    const shown = cards().filter((card) => {
      card.classList.toggle("filtered", on && !matches(card));
      return !card.classList.contains("filtered");
    });
    all(".leader").forEach((n) => n.classList.toggle("filtered", on));
    told.textContent = on
      ? `${shown.length} of ${plural(cards().length, "card", "cards")} shown. Printing prints these alone.`
      : "";
    every.hidden = !on;
  };
  const every = button("Show everything", () => {
    [whose.value, text.value] = ["", ""];
    run();
    whose.focus();
  });
  every.hidden = true;
  whose.addEventListener("change", run);
  text.addEventListener("input", run);
  page.refilter = run;
  return el(
    "div",
    { class: "tool" },
    field("Show cards of", whose),
    field("with, or with a thing, called", text),
    every,
    told,
  );
}

function unitTools(page) {
  const units = choice("units", [
    ["metric", "kilograms"],
    ["imperial", "pounds"],
  ]);
  units.value = page.units;
  units.addEventListener("change", () => {
    page.units = units.value;
    page.device.write("units", page.units);
    page.update();
  });
  return el("div", { class: "tool" }, field("Masses in", units));
}

/** Every printed mass and bulk, in the units chosen. */
function showUnits(page) {
  for (const cell of all("[data-mg]"))
    cell.textContent = massText(BigInt(cell.dataset.mg), page.units);
  for (const cell of all("[data-ml]")) cell.textContent = bulkText(BigInt(cell.dataset.ml));
}

/** Ticks stay on this device, for this plan. */
function tickTools(page) {
  const told = el("p", { role: "status", id: "ticks-told" });
  const sum = () => {
    const boxes = all("[data-tick]");
    const on = boxes.filter((b) => b.checked).length;
    told.textContent = `${on} of ${boxes.length} ticked${page.device.keeps ? "" : ". They cannot be kept on this device"}`;
  };
  const keep = () => page.device.write("ticks", page.ticks.size === 0 ? null : [...page.ticks]);
  let cleared = [];
  const clear = button("Clear ticks", () => {
    cleared = [...page.ticks];
    page.ticks.clear();
    all("[data-tick]").forEach((b) => (b.checked = false));
    keep();
    sum();
    back.hidden = cleared.length === 0;
  });
  const back = button("Bring the ticks back", () => {
    cleared.forEach((key) => page.ticks.add(key));
    all("[data-tick]").forEach((b) => (b.checked = page.ticks.has(b.dataset.tick)));
    keep();
    sum();
    back.hidden = true;
    clear.focus();
  });
  back.hidden = true;
  document.addEventListener("change", (event) => {
    const key = event.target.dataset?.tick;
    if (key === undefined) return;
    if (event.target.checked) page.ticks.add(key);
    else page.ticks.delete(key);
    back.hidden = true;
    keep();
    sum();
  });
  all("[data-tick]").forEach((b) => (b.checked = page.ticks.has(b.dataset.tick)));
  page.countTicks = sum;
  return el("div", { class: "tool" }, clear, back, told);
}
