// The browser, and pages that may neither ask the network nor complain.

import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

/** Libraries are installed beside the build, not beside these files. */
export const library = createRequire(`${process.env.TUMPLINE_BROWSER_HOME}/package.json`);

export function openBrowser() {
  const { chromium } = library("playwright-core");
  return chromium.launch({
    executablePath: "/usr/bin/chromium",
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

/** A page from a file, and all that it said, asked or opened. */
export async function openPage(browser, file, { width = 1280, height = 900, context } = {}) {
  const own = context ?? (await browser.newContext({ viewport: { width, height } }));
  const page = await own.newPage();
  // A busy machine is slow, not wrong.
  page.setDefaultTimeout(120_000);
  const noise = [];
  page.on("console", (m) => noise.push(`console ${m.type()}: ${m.text()}`));
  page.on("pageerror", (e) => noise.push(`error: ${e.message}`));
  page.on("dialog", (d) => {
    noise.push(`dialog: ${d.message()}`);
    d.dismiss().catch(() => {});
  });
  const url = pathToFileURL(file).href;
  page.on("request", (r) => {
    if (r.url() !== url && !r.url().startsWith(`${url}#`)) noise.push(`request: ${r.url()}`);
  });
  await page.goto(url);
  return { page, context: own, noise, close: () => (context ? page.close() : own.close()) };
}
