// How a sheet looks and reads on a phone and on a desk: no noise, no overflow,
// axe-core's serious and critical rules, contrast of text in drawings, and the
// HTML standard.

import { readFileSync } from "node:fs";
import { join } from "node:path";
import { library, openPage } from "./browser.mjs";

const axe = readFileSync(library.resolve("axe-core/axe.min.js"), "utf8");

/** WCAG 2.2, success criterion 1.4.3: at least 4.5:1. */
const CONTRAST = 4.5;

/** Text in drawings, which axe-core does not measure: its fill against white, or
    against the disc that it stands on. */
const drawn = () => {
  const light = ([r, g, b]) => {
    const part = (v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
    return 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
  };
  const rgb = (text) => (text.match(/[\d.]+/g) ?? [0, 0, 0]).map(Number);
  return [...document.querySelectorAll("svg text")]
    .filter((t) => t.checkVisibility())
    .map((t) => {
      const disc = t.classList.contains("mark") ? t.previousElementSibling : null;
      const [a, b] = [
        rgb(getComputedStyle(t).fill),
        disc ? rgb(getComputedStyle(disc).fill) : [255, 255, 255],
      ].map(light);
      return { text: t.textContent, ratio: (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05) };
    });
};

/** What reaches beyond the page to the right or the left. */
const beyond = () => {
  const wide = document.documentElement.clientWidth;
  const cut = (n) => n.closest(".scroll, .unseen, .skip, svg svg, textarea");
  return [...document.querySelectorAll("body *")]
    .filter((n) => n.checkVisibility() && !cut(n))
    .map((n) => [n, n.getBoundingClientRect()])
    .filter(([, r]) => r.width > 0 && (r.right > wide + 1 || r.left < -1))
    .map(
      ([n, r]) =>
        `${n.tagName}.${n.className?.baseVal ?? n.className} ${Math.round(r.left)}..${Math.round(r.right)}`,
    );
};

export async function rules(check, page, what) {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() =>
    globalThis.axe.run({ resultTypes: ["violations"] }),
  );
  const bad = violations.filter((v) => ["serious", "critical"].includes(v.impact));
  check.same(
    bad.map(
      (v) =>
        `${v.id}: ${v.nodes
          .map((n) => n.target.join(" "))
          .slice(0, 3)
          .join(", ")}`,
    ),
    [],
    `${what}: axe-core finds nothing serious`,
  );
}

export async function checkLook(check, browser, sheet, out) {
  for (const width of sheet.paper === "a4" ? [390, 1280] : [1280]) {
    const open = await openPage(browser, sheet.file, { width });
    const { page } = open;
    await page.screenshot({ path: join(out, `${sheet.name}-${width}.png`), fullPage: true });
    check.same(
      (await page.evaluate(beyond)).slice(0, 3),
      [],
      `${width} px: nothing reaches beyond the page`,
    );
    const faint = (await page.evaluate(drawn)).filter((t) => t.ratio < CONTRAST);
    check.same(faint.slice(0, 3), [], `${width} px: drawn text has contrast`);
    if (sheet.paper === "a4") await rules(check, page, `${width} px`);
    check.same(open.noise, [], `${width} px: opens without a word, a request or a dialog`);
    await open.close();
  }
  if (sheet.paper !== "a4") return;
  const { HtmlValidate, StaticConfigLoader } = library("html-validate");
  const loader = new StaticConfigLoader({
    extends: ["html-validate:standard"],
    elements: ["html5"],
  });
  const report = await new HtmlValidate(loader).validateFile(sheet.file);
  const errors = report.results.flatMap((r) => r.messages).filter((m) => m.severity === 2);
  check.same(
    errors.slice(0, 5).map((m) => `${m.line}:${m.column} ${m.ruleId}: ${m.message}`),
    [],
    "valid HTML",
  );
}
