// What a page keeps on its device, the filter, the units, and the keyboard.

import { join } from "node:path";
import { openPage } from "./browser.mjs";
import { shown } from "./hand.mjs";
import { pagesOf } from "./paper.mjs";

export async function checkKept(check, browser, sheet, out) {
  if (sheet.paper !== "a4") return;
  const context = await browser.newContext({
    viewport: { width: 1280, height: 900 },
    permissions: ["clipboard-read", "clipboard-write"],
  });
  const again = () => openPage(browser, sheet.file, { context });
  let open = await again();
  const press = (name) => open.page.getByRole("button", { name, exact: true }).click();
  const label = (n) => open.page.locator(".card [data-tick]").nth(n);

  await label(0).check();
  await keyboard(check, open.page);
  const changed = await open.page.evaluate(shown);
  const lines = await open.page.$$eval("#hand-changes li", (all) => all.map((n) => n.textContent));
  check.same(lines.length, 1, "the change is listed");
  await press("Copy as text");
  const text = await open.page.inputValue("#hand-text");
  check.ok(text.includes(`1. ${lines[0]}\n`), "the copy has the change", text);
  await open.close();

  open = await again();
  check.same(await open.page.evaluate(shown), changed, "the change is kept");
  check.ok(await open.page.locator("body.changed").count(), "and the page says that it is changed");
  await press("Take all back");
  await open.close();

  open = await again();
  check.same(
    await open.page.$$eval("#hand-changes li", (all) => all.length),
    0,
    "taking it back is kept too",
  );
  check.ok(await label(0).isChecked(), "a tick is kept");
  await press("Clear ticks");
  check.ok(!(await label(0).isChecked()), "ticks are cleared");

  await open.page.selectOption("#units", "imperial");
  const masses = await open.page.$$eval("[data-mg]", (all) =>
    all.map((n) => [n.dataset.mg, n.textContent]),
  );
  // 1 lb = 0.453 592 37 kg, by the agreement of 1959.
  const wrong = masses.filter(
    ([mg, t]) => t !== `${(Math.round(Number(mg) / 4535.9237) / 100).toFixed(2)} lb`,
  );
  check.same(wrong.slice(0, 3), [], "every mass is in pounds");
  await open.page.selectOption("#units", "metric");

  const cards = await open.page.locator(".card").count();
  const whose = await open.page.$$eval("#filter-whose option", (all) => all.map((o) => o.value));
  const id = whose.find((v) => v.startsWith("card-"));
  await open.page.selectOption("#filter-whose", id);
  const left = await open.page.$$eval(".card", (all) =>
    all.filter((c) => c.checkVisibility()).map((c) => c.id),
  );
  check.same(left, [id], "the filter shows one card");
  const pdf = join(out, `${sheet.name}-one.pdf`);
  await open.page.pdf({ path: pdf, preferCSSPageSize: true });
  const pages = pagesOf(pdf);
  check.ok(
    pages.length <= 3 && pages.every((p) => p.words.length > 0),
    "and prints it alone",
    `${pages.length} pages`,
  );
  await open.page.fill("#filter-text", "no such thing anywhere");
  check.same(
    await open.page.$$eval(".card", (all) => all.filter((c) => c.checkVisibility()).length),
    0,
    "no card matches",
  );
  await press("Show everything");
  check.same(
    await open.page.$$eval(".card", (all) => all.filter((c) => c.checkVisibility()).length),
    cards,
    "all cards are back",
  );

  // Whatever somebody else put there.
  await open.page.evaluate(() => {
    for (const key of Object.keys(localStorage))
      localStorage.setItem(key, '{"changes":[{"item":-1}],"at":"x"}');
    localStorage.setItem(Object.keys(localStorage)[0] ?? "x", "{");
  });
  check.same(open.noise, [], "nothing of it said a word");
  await open.close();
  open = await again();
  check.ok(await open.page.isVisible("#by-hand"), "opens over spoilt memory");
  check.same(open.noise, [], "without a word");
  await open.close();
  await context.close();
  await without(check, browser, sheet);
}

/** Moves something with the keyboard alone. */
async function keyboard(check, page) {
  const active = () =>
    page.evaluate(() => document.activeElement.id || document.activeElement.textContent);
  await page.focus("#hand-from");
  const reached = [await active()];
  for (let k = 0; k < 8 && reached[reached.length - 1] !== "Move it"; k += 1) {
    await page.keyboard.press("Tab");
    reached.push(await active());
  }
  for (const wanted of ["hand-thing", "hand-count", "hand-to", "Move it"]) {
    check.ok(reached.includes(wanted), `the keyboard reaches ${wanted}`, reached.join(", "));
  }
  // Another thing, where there is another.
  await page.focus("#hand-thing");
  await page.keyboard.press("ArrowDown");
  await page.locator("#by-hand button").first().focus();
  await page.keyboard.press("Enter");
  const told = await page.textContent("#hand-told");
  check.ok(told.includes("Done:"), "Enter moves it", told);
}

/** A browser that keeps nothing. */
async function without(check, browser, sheet) {
  const context = await browser.newContext();
  await context.addInitScript(() => {
    Object.defineProperty(window, "localStorage", {
      get: () => {
        throw new DOMException("denied", "SecurityError");
      },
    });
  });
  const open = await openPage(browser, sheet.file, { context });
  await open.page.locator("#by-hand button").first().click();
  const told = await open.page.textContent("#by-hand");
  check.ok(told.includes("cannot be kept"), "it says that nothing can be kept");
  check.same(open.noise, [], "and nothing else");
  await context.close();
}
