// Counting what passed.

export function results(at = "", sums = { passed: 0, failed: 0 }) {
  const check = {
    sums,
    /** The same count, for checks of something by this name. */
    of: (name) => results(name, sums),
    ok(holds, what, found = "") {
      if (holds) sums.passed += 1;
      else {
        sums.failed += 1;
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
