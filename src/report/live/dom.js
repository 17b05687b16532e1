// Small helpers for the page.

const all = (selector, within = document) => [...within.querySelectorAll(selector)];
const one = (selector, within = document) => within.querySelector(selector);

/** An element with attributes and children; text is never read as markup. */
function el(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  Object.entries(attributes).forEach(([key, value]) => made.setAttribute(key, value));
  made.append(...children.flat());
  return made;
}

/** Parts of a sentence as nodes, each name in its own direction. */
const rich = (parts) =>
  parts.map((p) => (typeof p === "object" ? el("bdi", {}, p.name) : String(p)));

const massOf = (mg, units, is) => {
  const span = el("span", { class: "q", "data-mg": mg }, massText(mg, units));
  if (is) span.setAttribute("data-is", is);
  return span;
};
const bulkOf = (ml) => el("span", { class: "q", "data-ml": ml }, bulkText(ml));

/** An amount of a supply. */
function amountOf(base, dimension, page) {
  if (dimension === "mass") return massOf(base, page.units);
  if (dimension === "bulk") return bulkOf(base);
  return el("span", { class: "q" }, amountText(base, dimension, page.order.units));
}

/** What is kept on this device for this sheet. Where nothing can be kept,
    nothing is, and `keeps` says so. */
function storeFor(key) {
  const at = (name) => `tumpline/${key}/${name}`;
  const store = {
    keeps: true,
    read(name) {
      try {
        const text = localStorage.getItem(at(name));
        return text === null ? null : JSON.parse(text);
      } catch {
        return null;
      }
    },
    write(name, value) {
      try {
        if (value === null) localStorage.removeItem(at(name));
        else localStorage.setItem(at(name), JSON.stringify(value));
        store.keeps = true;
      } catch {
        store.keeps = false;
      }
      return store.keeps;
    },
  };
  return store;
}
