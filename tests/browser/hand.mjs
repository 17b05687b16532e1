// Moving things by hand through the page's own form, and what `tumpline sheet`
// says of the plan so changed: two programs that share no code.

import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { openPage } from "./browser.mjs";
import { rules } from "./look.mjs";
import { printed } from "./paper.mjs";
import { run } from "./sheets.mjs";

/** splitmix32: the same choices on every machine. */
function random(seed) {
  let state = seed >>> 0;
  return (n) => {
    state = (state + 0x9e3779b9) >>> 0;
    let z = state;
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
    return ((z ^ (z >>> 15)) >>> 0) % n;
  };
}

/** All that the sheet shows of loads and lists, in the order of the page. */
export const shown = () => {
  const text = (n) => n?.textContent ?? null;
  const numbers = (block) =>
    [...block.querySelectorAll("[data-is]")]
      .filter((n) => n.checkVisibility())
      .map((n) => [n.dataset.is, n.dataset.mg ?? n.dataset.ml ?? null, text(n)]);
  const rows = (block) =>
    [...block.querySelectorAll("tbody tr[data-item]")].map((tr) => [
      Number(tr.dataset.item),
      tr.dataset.way ?? null,
      ...[...tr.querySelectorAll("td:not(.box)")].map(text),
      text(tr.querySelector("th bdi")),
    ]);
  const bars = (block) =>
    [...block.querySelectorAll("[data-bar]")]
      .map((b) => [b.dataset.bar, b.getAttribute("x"), b.getAttribute("width")])
      .filter((b) => b[2] !== "0.0")
      .sort();
  const visible = (n) => n.checkVisibility();
  return {
    carriers: [...document.querySelectorAll("[data-carrier]")]
      .filter(visible)
      .map((b) => [b.tagName, b.dataset.carrier, numbers(b), rows(b), bars(b)]),
    regions: ["needs", "supplies", "wants", "value", "stays", "staysRows"].map((name) => {
      const region = document.querySelector(`[data-region="${name}"]`);
      if (!region) return null;
      if (name === "staysRows")
        return region.checkVisibility() ? rows(region.closest("section")) : null;
      return [...region.querySelectorAll("tr")]
        .map((tr) => [...tr.children].map(text))
        .concat(name === "value" || name === "stays" ? [text(region)] : []);
    }),
    boards: [...document.querySelectorAll(".board desc")].map(text),
  };
};

/** Fills in the form, by what each list offers, and moves. */
async function moveSomething(page, pick) {
  const options = (id) =>
    page.$$eval(`#${id} option`, (all) =>
      all.map((o) => ({ value: o.value, text: o.textContent })),
    );
  const chosen = {};
  for (const id of ["hand-from", "hand-thing", "hand-to", "hand-way", "hand-with", "hand-end"]) {
    const all = await options(id);
    chosen[id] = all.length === 0 ? null : all[pick(all.length)];
    if (chosen[id]) await page.selectOption(`#${id}`, chosen[id].value);
  }
  const most = Number(await page.getAttribute("#hand-count", "max"));
  chosen.count = 1 + pick(Math.min(most, 3));
  await page.fill("#hand-count", String(chosen.count));
  if (await page.isDisabled("#by-hand button")) return null;
  const foreseen = await page.$$eval("#hand-preview [data-fault]", (all) =>
    all.map((n) => n.textContent),
  );
  const still = await page.$$eval("#hand-preview [data-still]", (all) =>
    Number(all[0]?.dataset.still ?? 0),
  );
  await page.click("#by-hand button");
  return { ...chosen, foreseen, still };
}

/** The change as the plan in JSON has it: ids, and what was chosen by its place
    in the lists, with books of our own. */
function changed(plan, data, choice) {
  const next = structuredClone(plan);
  const id = (k) => data.carriers[Number(k)].id;
  const at = (who) => next.carriers.find((c) => c.id === who);
  const whose = choice["hand-from"].value;
  // The list of what somebody has is in the order of the plan: alone before in
  // pairs, by way, then item.
  const ways = ["back", "chest", "shoulder", "belt", "hand", "bed"];
  const item = (line) => data.items.findIndex((x) => x.id === line.id);
  let source = null;
  if (whose === "")
    source = next.left
      .filter((l) => !next.parties.some((p) => p.store))
      .sort((a, b) => item(a) - item(b))[Number(choice["hand-thing"].value)];
  else {
    const place = (l) =>
      l.with === undefined
        ? [0, ways.indexOf(l.way), item(l)]
        : [1, firstOf(l), secondOf(l), item(l)];
    const number = (who) => data.carriers.findIndex((c) => c.id === who);
    const me = Number(whose);
    const ends = (l) => {
      const other = number(l.with);
      const [a, b] = data.items[item(l)].pair;
      if (a === b) return [Math.min(me, other), Math.max(me, other)];
      const whole = BigInt(data.items[item(l)].mass);
      const first = (whole * BigInt(a) + 999999n) / 1000000n;
      return BigInt(Math.round(l.mass_g * 1000)) === first ? [me, other] : [other, me];
    };
    const firstOf = (l) => ends(l)[0];
    const secondOf = (l) => ends(l)[1];
    const order = (a, b) => {
      const [x, y] = [place(a), place(b)];
      const k = x.findIndex((n, i) => n !== y[i]);
      return k < 0 ? 0 : x[k] - y[k];
    };
    source = [...at(id(whose)).items].sort(order)[Number(choice["hand-thing"].value)];
  }
  const x = data.items.find((i) => i.id === source.id);
  const n = choice.count;
  const grams = (mg) => Number(mg) / 1000;
  const take = (list, line, count) => {
    line.count -= count;
    if (line.mass_g !== undefined) line.mass_g = grams(BigInt(x.mass) * BigInt(line.count));
    if (line.count === 0) list.splice(list.indexOf(line), 1);
  };
  if (whose === "") take(next.left, source, n);
  else {
    take(at(id(whose)).items, source, n);
    if (source.with !== undefined) {
      const other = at(source.with).items;
      take(
        other,
        other.find((l) => l.id === source.id && l.with === id(whose)),
        n,
      );
    }
  }
  const put = (who, line) => {
    const same = at(who).items.find(
      (l) => l.id === line.id && l.way === line.way && l.with === line.with,
    );
    if (same) {
      same.count += line.count;
      same.mass_g = grams(BigInt(x.mass) * BigInt(same.count));
    } else at(who).items.push(line);
  };
  const to = choice["hand-to"].value;
  const base = { id: x.id, name: source.name, count: n };
  if (to === "left") {
    const same = next.left.find((l) => l.id === x.id);
    if (same) same.count += n;
    else next.left.push({ ...base, where: null });
  } else if (choice["hand-way"].value === "pair") {
    const swap = choice["hand-end"]?.value === "second";
    const pair = [id(to), id(choice["hand-with"].value)];
    if (swap) pair.reverse();
    const end = (k) => grams((BigInt(x.mass) * BigInt(x.pair[k]) + 999999n) / 1000000n);
    put(pair[0], { ...base, way: "pair", with: pair[1], mass_g: end(0) });
    put(pair[1], { ...base, way: "pair", with: pair[0], mass_g: end(1) });
  } else
    put(id(to), {
      ...base,
      way: choice["hand-way"].value,
      mass_g: grams(BigInt(x.mass) * BigInt(n)),
    });
  return next;
}

export async function checkByHand(check, browser, sheet, binary, out) {
  const open = await openPage(browser, sheet.file);
  const { page } = open;
  const data = JSON.parse(await page.textContent("#sheet-data"));
  const first = await page.evaluate(shown);
  let plan = JSON.parse(readFileSync(sheet.plan, "utf8"));
  const pick = random([...sheet.name].reduce((sum, c) => sum * 31 + c.charCodeAt(0), 7));
  const changes = sheet.title === "large" ? 4 : 8;
  let [sound, broken, done] = [0, 0, 0];
  for (let k = 0; k < changes; k += 1) {
    const choice = await moveSomething(page, pick);
    if (!choice) continue;
    done += 1;
    plan = changed(plan, data, choice);
    const file = join(out, "moves", `${sheet.name}-changed.plan.json`);
    writeFileSync(file, JSON.stringify(plan));
    const theirs = run(binary, ["sheet", file, "--move", sheet.move, "--plain"]);
    const faults = await page.$$eval("#hand-told [data-fault]", (all) =>
      all.map((n) => n.textContent),
    );
    check.same(
      choice.foreseen.filter((f) => !faults.includes(f)),
      [],
      "what was foreseen came",
    );
    check.same(choice.foreseen.length + choice.still, faults.length, "and nothing else");
    if (theirs.status === 0) {
      sound += 1;
      check.same(faults, [], "nothing is broken, says the program");
      await compare(check, browser, page, theirs.stdout, join(out, `${sheet.name}-changed.html`));
    } else {
      broken += 1;
      check.same(theirs.status, 1, "the program refuses the plan");
      const told = theirs.stderr
        .split("\n")
        .filter((l) => l.startsWith("fault: "))
        .map((l) => l.slice(7));
      check.same(faults.toSorted(), told.sort(), "the faults that the program finds");
      const marked = await page.$$eval(
        ".card .by-hand-note",
        (all) => all.filter((n) => n.textContent.includes("BROKEN")).length,
      );
      check.ok(marked > 0, "a card says what is broken");
    }
  }
  check.ok(done > 0, "something could be moved");
  if (sheet.paper === "a4" && sheet.title !== "large") {
    await rules(check, page, "changed by hand");
    await printed(check, page, sheet, join(out, `${sheet.name}-changed.pdf`));
  }
  await page.screenshot({ path: join(out, `${sheet.name}-changed.png`), fullPage: true });

  const last = await page.evaluate(shown);
  const press = (name) => page.getByRole("button", { name, exact: true }).click();
  for (let k = 0; k < done; k += 1) await press("Undo");
  check.same(await page.evaluate(shown), first, "undone, the sheet is as it was");
  for (let k = 0; k < done; k += 1) await press("Redo");
  check.same(await page.evaluate(shown), last, "redone, it is as it was changed");
  await press("Take all back");
  check.same(await page.evaluate(shown), first, "taken back at once, too");
  check.same(open.noise, [], "moves without a word, a request or a dialog");
  await open.close();
  return { sound, broken };
}

/** What the program's sheet of the changed plan shows, the page shows. */
async function compare(check, browser, page, html, file) {
  writeFileSync(file, html);
  const theirs = await openPage(browser, file);
  const [a, b] = [await page.evaluate(shown), await theirs.page.evaluate(shown)];
  for (const key of Object.keys(b)) {
    for (let k = 0; k < Math.max(a[key].length, b[key].length); k += 1) {
      if (!check.same(a[key][k], b[key][k], `${key} ${k} as the program prints them`)) break;
    }
  }
  await theirs.close();
}
