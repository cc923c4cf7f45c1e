(() => {
  const level = (c) => { const v = c / 255; return v <= .04045 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4; };
  const light = (rgb) => .2126 * level(rgb[0]) + .7152 * level(rgb[1]) + .0722 * level(rgb[2]);
  const numbers = (colour) => colour.match(/[\d.]+/g).map(Number);
  const under = (one) => { for (; one; one = one.parentElement) { const c = numbers(getComputedStyle(one).backgroundColor); if (c.length < 4 || c[3] > 0) return c; } return [255, 255, 255]; };
  const poor = [];
  for (const one of document.querySelectorAll("body *")) {
    const own = [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
    if (!own || one.closest("svg, script, datalist, dialog:not([open])") || !one.getClientRects().length || one.disabled) continue;
    const [a, b] = [light(numbers(getComputedStyle(one).color)), light(under(one))].sort((x, y) => y - x);
    const ratio = (a + .05) / (b + .05);
    if (ratio < 4.5) poor.push(`${one.tagName} ${one.className} ${ratio.toFixed(2)}`);
  }
  return poor.join("; ");
})()
