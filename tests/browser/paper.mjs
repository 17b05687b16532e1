// On paper: the PDF that the browser prints, on A4 and Letter.

import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { openPage } from "./browser.mjs";

/** In points: ISO 216 A4, and ANSI A. */
const SIZES = { a4: [595.28, 841.89], letter: [612, 792] };

/** Words of each page with their places, as poppler reads them. */
export function pagesOf(pdf) {
  const text = execFileSync("pdftotext", ["-bbox", pdf, "-"], {
    encoding: "utf8",
    maxBuffer: 1 << 28,
  });
  return text
    .split("<page ")
    .slice(1)
    .map((page) => {
      const [, width, height] = /width="([\d.]+)" height="([\d.]+)"/.exec(page).map(Number);
      const words = [
        ...page.matchAll(
          /<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)<\/word>/gs,
        ),
      ];
      return {
        width,
        height,
        words: words.map(([, a, b, c, d, w]) => ({
          x: Number(a),
          y: Number(b),
          right: Number(c),
          bottom: Number(d),
          text: plain(w),
        })),
      };
    });
}

const plain = (text) =>
  text
    .replace(/&lt;/g, "<")
    .replace(/&gt;/g, ">")
    .replace(/&quot;/g, '"')
    .replace(/&#39;|&apos;/g, "'")
    .replace(/&amp;/g, "&");

const squeeze = (text) => text.replace(/\s+/g, "");

/** What each card begins with, its rows, and how high they are in print. */
const cards = () =>
  [...document.querySelectorAll(".card")]
    .filter((c) => c.checkVisibility())
    .map((card) => ({
      title: card.querySelector("h2").textContent,
      below: card.querySelector("header p").textContent,
      breaks: getComputedStyle(card).breakBefore,
      rows: [...card.querySelectorAll("tbody tr")].map((tr) => ({
        inside: getComputedStyle(tr).breakInside,
        height: tr.getBoundingClientRect().height,
        count: tr.querySelector("td.count").textContent,
        name: tr.querySelector("th bdi").textContent,
        mass: tr.querySelector("td.number").textContent,
      })),
      head: [...card.querySelectorAll("thead")].map((h) => getComputedStyle(h).display),
    }));

const small = () =>
  [...document.querySelectorAll("body *")]
    .filter(
      (n) =>
        n.checkVisibility() &&
        !n.closest("svg, .unseen, textarea") &&
        [...n.childNodes].some((c) => c.nodeType === 3 && c.data.trim()),
    )
    .map((n) => [parseFloat(getComputedStyle(n).fontSize) * 0.75, n.textContent.slice(0, 40)])
    .filter(([pt]) => pt < 10.99);

export async function checkPaper(check, browser, sheet, out) {
  const open = await openPage(browser, sheet.file);
  await printed(check, open.page, sheet, join(out, `${sheet.name}.pdf`));
  check.same(open.noise, [], "prints without a word");
  await open.close();
}

/** Prints the page as it is now and checks every sheet of paper. */
export async function printed(check, page, sheet, pdf) {
  const [width, height] = SIZES[sheet.paper];
  await page.emulateMedia({ media: "print" });
  // The text column of the paper, so that rows are as high as they will be.
  const margin = 2 * 15 * (96 / 25.4);
  await page.setViewportSize({ width: Math.floor((width * 96) / 72 - margin), height: 1000 });
  const found = await page.evaluate(cards);
  check.same((await page.evaluate(small)).slice(0, 3), [], "no print under 11 pt");
  const overflow = await page.evaluate(
    () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
  );
  check.ok(overflow <= 0, "nothing is wider than the paper", `${overflow} px`);
  await page.emulateMedia({ media: null });
  await page.pdf({ path: pdf, preferCSSPageSize: true });
  await page.setViewportSize({ width: 1280, height: 900 });

  const pages = pagesOf(pdf);
  const wrong = pages.filter(
    (p) => Math.abs(p.width - width) > 1 || Math.abs(p.height - height) > 1,
  );
  check.ok(
    pages.length > 0 && wrong.length === 0,
    `paper is ${sheet.paper}`,
    wrong.map((p) => `${p.width} x ${p.height}`)[0],
  );
  // Words are reckoned a little wider than they are drawn.
  const side = (15 * 72) / 25.4 - 3;
  const out = pages.flatMap((p, k) =>
    p.words
      .filter((w) => w.x < side || w.right > p.width - side || w.bottom > p.height || w.y < 0)
      .map((w) => `page ${k + 1}: ${w.text}`),
  );
  check.same(out.slice(0, 5), [], "no word leaves the paper");
  check.ok(
    found.every((c) => c.breaks === "page"),
    "each card begins on a page of its own",
  );
  const body = ((height - (26 * 72) / 25.4) * 96) / 72;
  const cut = found.flatMap((c) => c.rows).filter((r) => r.inside !== "avoid" || r.height > body);
  check.same(cut.slice(0, 3), [], "no row is cut by the end of a page");
  check.ok(
    found.every((c) => c.head.every((d) => d === "table-header-group")),
    "heads are repeated",
  );
  follow(check, pages, found);
}

/** Each card begins a page, in their order, and each of its rows stands whole on
    one of its pages. Names that run to the left or are drawn by several fonts
    come out of a PDF in other orders, so of rows only what is plain is looked
    for. */
function follow(check, pages, found) {
  const texts = pages.map((p) => squeeze(p.words.map((w) => w.text).join("")));
  const ascii = (text) => /^[\x20-\x7e]+$/.test(text);
  let at = 0;
  const ranges = found.map((card) => {
    if (!ascii(card.title)) return null;
    const title = squeeze(card.title);
    const start = texts.findIndex(
      (t, k) => k >= at && t.startsWith(title) && t.includes(squeeze(card.below)),
    );
    if (start >= 0) at = start + 1;
    return { card, start };
  });
  const lost = ranges.filter((r) => r && r.start < 0).map((r) => r.card.title);
  check.same(lost, [], "each card begins a page");
  const known = ranges.every((r) => r && r.start >= 0);
  if (!known) {
    check.ok(
      pages.length > found.length,
      "there is a page for each card",
      `${pages.length} pages, ${found.length} cards`,
    );
    return;
  }
  const torn = ranges.flatMap(({ card, start }, k) => {
    const end = k + 1 < ranges.length ? ranges[k + 1].start : texts.length;
    const here = texts.slice(start, end);
    return card.rows
      .filter(
        (r) =>
          ascii(r.name) &&
          !here.some((t) => `${r.name} ${r.mass}`.split(/\s+/).every((w) => t.includes(w))),
      )
      .map((r) => `${card.title}: ${r.name}`);
  });
  check.same(torn.slice(0, 5), [], "every row is on one page of its card");
}
