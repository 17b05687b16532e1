// The sheets that are looked at, made by the binary: one for each demo move on
// both papers, one of hostile names, one of forty carriers and two hundred kinds
// of things. All data is invented.

import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";

export function run(binary, args) {
  const { status, stdout, stderr } = spawnSync(binary, args, {
    encoding: "utf8",
    maxBuffer: 1 << 28,
  });
  return { status, stdout, stderr };
}

/** Demo moves by a name of their own. */
function demos() {
  const folders = readdirSync("kits", { withFileTypes: true }).filter((f) => f.isDirectory());
  return folders
    .flatMap((f) =>
      readdirSync(join("kits", f.name))
        .filter((n) => n.endsWith(".move.yaml"))
        .map((n) => join("kits", f.name, n)),
    )
    .sort()
    .map((path) => [path.split("/").slice(1).join("-").replace(".move.yaml", ""), path]);
}

const NAMES = [
  "<script>alert(1)</script>",
  "\"quoted\" & 'more' </title><img src=x onerror=alert(2)>",
  "&#60;b&#62; &lt;i&gt; %3Cscript%3E",
  "עברית מימין לשמאל",
  "مرحبا بالعالم",
  "山岳救助隊の無線機と予備電池",
  "🧗🏽‍♀️ rope 🪢",
  "\"'><svg onload=alert(4)>",
  "]]> <!-- -->",
  "Averyveryverylongnamewithoutanyblankinitthatgoesonandonandonandon",
  "${alert(3)} `back` \\ticks",
  "e\u0301\u0302\u0303 stacked",
];

const name = (k) => JSON.stringify(NAMES[k % NAMES.length] + (k < NAMES.length ? "" : ` ${k}`));

function hostile() {
  const items = NAMES.map(
    (_, k) =>
      `  - {id: thing-${k}, name: ${name(k)}, mass: ${k + 1}00 g, bulk: ${k + 1} L, held: ${(k % 3) + 1}, carry: [${["back", "back, hand", "pair, back", "belt"][k % 4]}]}`,
  );
  return `move: ${name(0)}
equipment:
${items.join("\n")}
carriers:
  people:
${[0, 1, 3, 5].map((k) => `    - {id: person-${k}, name: ${name(k)}, limit: 14 kg, worn: 1 kg, pack: 40 L, duties: [medic]}`).join("\n")}
  vehicles:
    - {id: cart, name: ${name(9)}, payload: 200 kg, bed: 500 L}
parties:
  up: {travel: foot, who: [person-0, person-1, person-3, person-5]}
  road: {travel: vehicle, who: [cart]}
stays-with: road
needs:
  up:
    - {need: ${name(1)}, item: {thing-2: 1}}
    - {need: ${name(6)}, all: [thing-0, thing-3, thing-5]}
wants:
  up: {thing-6: 2, thing-7: 1}
`;
}

function large() {
  const many = (n, f) => Array.from({ length: n }, (_, k) => f(k)).join("\n");
  const people = Array.from({ length: 38 }, (_, k) => `walker-${k}`);
  return `move: A long column, made up
equipment:
${many(200, (k) => `  - {id: item-${k}, name: "Thing ${k} of the long list", mass: ${300 + ((k * 37) % 900)} g, bulk: ${1 + (k % 5)} L, held: ${1 + (k % 2)}, carry: [${k % 7 === 0 ? "pair, back" : k % 5 === 0 ? "hand, back" : "back"}]}`)}
carriers:
  people:
${many(38, (k) => `    - {id: walker-${k}, name: "Walker ${k}", limit: ${18 + (k % 9)} kg, worn: 3 kg, pack: 70 L}`)}
  vehicles:
    - {id: truck-1, name: "Truck one", payload: 900 kg}
    - {id: truck-2, name: "Truck two", payload: 900 kg}
parties:
  column: {travel: foot, who: [${people.join(", ")}]}
  road: {travel: vehicle, who: [truck-1, truck-2]}
stays-with: road
needs:
  column:
${many(60, (k) => `    - {need: "need ${k}", item: item-${k * 3}}`)}
`;
}

/** The sheets: name, file, move, plan, how many cards, whether it is plain. */
export async function makeSheets(all, binary, out, only) {
  const made = join(out, "moves");
  mkdirSync(made, { recursive: true });
  const moves = demos();
  for (const [title, text] of [
    ["hostile", hostile()],
    ["large", large()],
  ]) {
    const path = join(made, `${title}.move.yaml`);
    writeFileSync(path, text);
    moves.push([title, path]);
  }
  const sheets = [];
  for (const [title, move] of moves.filter(([t]) => t.includes(only))) {
    const check = all.of(title);
    const plan = join(made, `${title}.plan.json`);
    const split = run(binary, [
      "split",
      move,
      "--format",
      "json",
      "--quiet",
      "--time",
      "3s",
      "-o",
      plan,
    ]);
    if (!check.ok([0, 4].includes(split.status), "a plan is found", split.stderr)) continue;
    for (const paper of ["a4", "letter"]) {
      const file = join(out, `${title}-${paper}.html`);
      const args = ["sheet", plan, "--move", move, "--paper", paper, "-o", file];
      const sheet = run(binary, args);
      if (!check.ok(sheet.status === 0, `a sheet for ${paper}`, sheet.stderr)) continue;
      sheets.push({ name: `${title}-${paper}`, title, file, move, plan, paper, plain: false });
    }
    const file = join(out, `${title}-plain.html`);
    run(binary, ["sheet", plan, "--move", move, "--plain", "-o", file]);
    const text = readFileSync(file, "utf8");
    check.ok(!/<script/i.test(text), "a plain sheet has no script");
    check.ok(
      !/<[a-z][^<>]*\son[a-z]+=/i.test(text.replace(/"[^"]*"/g, '""')),
      "a plain sheet has no handler",
    );
    if (title === "hostile" || title.startsWith("ridge")) {
      sheets.push({ name: `${title}-plain`, title, file, move, plan, paper: "a4", plain: true });
    }
  }
  return sheets;
}
