// The load sheet in a browser: every demo kit, a move with hostile names and a
// large one. Closes with `N passed, N failed`, and 1 if any failed.
//
//     tests/browser/run --binary target/release/tumpline [--out FOLDER] [--only WORD]
//
// What is checked, against what:
// - WCAG 2.2 contrast and axe-core's rules of impact serious and critical
// - the HTML standard, by html-validate
// - paper: ISO 216 A4 and ANSI A (Letter), by the PDF that the browser prints
// - changes by hand: against what `tumpline sheet` says of the changed plan

import { mkdirSync } from "node:fs";
import { resolve } from "node:path";
import { parseArgs } from "node:util";
import { openBrowser } from "./browser.mjs";
import { checkByHand } from "./hand.mjs";
import { checkKept } from "./kept.mjs";
import { checkLook } from "./look.mjs";
import { checkPaper } from "./paper.mjs";
import { results } from "./results.mjs";
import { makeSheets } from "./sheets.mjs";

const { values } = parseArgs({
  options: {
    binary: { type: "string", default: "target/release/tumpline" },
    out: { type: "string", default: "target/browser/out" },
    only: { type: "string", default: "" },
  },
});
const out = resolve(values.out);
mkdirSync(out, { recursive: true });

const begun = Date.now();
const check = results();
const sheets = await makeSheets(check, resolve(values.binary), out, values.only);
const browser = await openBrowser();
/** Takes one sheet after the other; two of these share the work. */
async function lane() {
  for (let sheet = sheets.shift(); sheet; sheet = sheets.shift()) {
    const of = check.of(sheet.name);
    try {
      await checkLook(of, browser, sheet, out);
      await checkPaper(of, browser, sheet, out);
      if (sheet.plain || sheet.paper !== "a4") continue;
      await checkByHand(of, browser, sheet, resolve(values.binary), out);
      await checkKept(of, browser, sheet, out);
    } catch (e) {
      of.ok(false, "the checks run to their end", String(e.stack ?? e));
    }
  }
}
try {
  await Promise.all([lane(), lane()]);
} finally {
  await browser.close();
}
console.log(
  `pictures and prints are in ${values.out}, after ${Math.round((Date.now() - begun) / 1000)} s`,
);
console.log(`${check.sums.passed} passed, ${check.sums.failed} failed`);
process.exitCode = check.sums.failed > 0 ? 1 : 0;
