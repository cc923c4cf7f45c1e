// The keys of the page: everything can be done without a mouse.
const { acts } = await import("./talk.js" + new URL(import.meta.url).search);

const keys = {
  ArrowRight: acts.next, n: acts.next, ArrowLeft: acts.back, p: acts.back, h: acts.house, a: acts.aside, u: acts.undo,
  r: acts.redo, "/": acts.find, f: acts.turn, z: acts.near, c: acts.cut, "?": acts.keys,
};

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
  if (event.target.matches("input, textarea, select") || document.querySelector("dialog[open]")) {
    if (event.key === "Escape") event.target.blur();
    return;
  }
  const does = /^[1-9]$/.test(event.key) ? () => acts.word(Number(event.key) - 1) : keys[event.key];
  if (does) { event.preventDefault(); does(); }
});
