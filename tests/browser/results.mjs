// Counting what passed.

export function results() {
  let at = "";
  const check = {
    passed: 0,
    failed: 0,
    within(name) {
      at = name;
    },
    ok(holds, what, found = "") {
      if (holds) check.passed += 1;
      else {
        check.failed += 1;
        console.log(`FAILED ${at}: ${what}${found === "" ? "" : `: ${found}`}`);
      }
      return Boolean(holds);
    },
    same(found, wanted, what) {
      const [a, b] = [found, wanted].map((v) => JSON.stringify(v));
      return check.ok(a === b, what, a === b ? "" : `${short(a)} where ${short(b)} is wanted`);
    },
  };
  return check;
}

const short = (text) => (text.length > 400 ? `${text.slice(0, 400)}…` : text);
