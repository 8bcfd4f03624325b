// Each colour of a page: drawn fills with a chroma, and pictures; where a drawing is filled by colours, the whole of it.
// Letters, lines, marks in grey and frames are none. What cannot be seen is left out. Boxes are in CSS px of the page.
() => {
  const strong = (fill) => {
    const rgb = (fill.match(/[\d.]+/g) || []).map(Number);
    const [least, most] = [Math.min(...rgb.slice(0, 3)), Math.max(...rgb.slice(0, 3))];
    return rgb.length >= 3 && (rgb[3] ?? 1) > 0.5 && most - least > 6;
  };
  const seen = (one) => one.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  const called = (one) => one.tagName.toLowerCase() + [...one.classList].map((name) => `.${name}`).join("");
  const named = (one) => {
    const path = [];
    for (let at = one; at && at.tagName !== "BODY" && path.length < 5; at = at.parentElement) path.unshift(called(at));
    return path.join(" > ");
  };
  const inside = (one) => {
    const [box, style] = [one.getBoundingClientRect(), getComputedStyle(one)];
    const [left, top, right, bottom] = ["Left", "Top", "Right", "Bottom"].map((side) => parseFloat(style[`padding${side}`]));
    return { left: box.left + left, top: box.top + top, right: box.right - right, bottom: box.bottom - bottom };
  };
  const found = [];
  const add = (one, box, kind) => {
    if (box.right - box.left < 3 || box.bottom - box.top < 3) return;
    const within = one.closest(".wide")?.getBoundingClientRect(); // what is scrolled out of it is not seen
    if (within && (box.left < within.left || box.right > within.right - 8)) return;
    const corners = [box.left + scrollX, box.top + scrollY, box.right + scrollX, box.bottom + scrollY];
    found.push({ kind, named: named(one), box: corners });
  };
  for (const svg of document.querySelectorAll("svg")) {
    const every = [...svg.querySelectorAll("rect, path, circle, polygon, ellipse")];
    const shapes = every.filter((one) => seen(one) && strong(getComputedStyle(one).fill));
    if (!seen(svg) || !shapes.length) continue;
    const boxes = shapes.map((one) => one.getBoundingClientRect());
    const [left, top] = [Math.min(...boxes.map((b) => b.left)), Math.min(...boxes.map((b) => b.top))];
    const [right, bottom] = [Math.max(...boxes.map((b) => b.right)), Math.max(...boxes.map((b) => b.bottom))];
    const filled = boxes.reduce((sum, b) => sum + b.width * b.height, 0) / ((right - left) * (bottom - top));
    if (filled > 0.9) add(svg, { left, top, right, bottom }, "swatch");
    else shapes.forEach((one, k) => add(one, boxes[k], "drawn"));
  }
  for (const one of document.querySelectorAll("img, canvas, video"))
    if (seen(one)) add(one, inside(one), "picture");
  for (const one of document.querySelectorAll("body *"))
    if (seen(one) && strong(getComputedStyle(one).backgroundColor)) add(one, one.getBoundingClientRect(), "background");
  return found;
}
