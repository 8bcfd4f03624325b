// Numbers seen on the photograph as they are typed, and corners marked on it. Without scripts numbers are kept by the
// form all the same, and cloths are looked for.
const shot = document.querySelector(".shot.cloths");
const placeOf = (key) => shot.querySelector(`[data-place="${key}"]`);

for (const field of document.querySelectorAll("[data-number]")) {
  const place = placeOf(field.dataset.number);
  const line = document.querySelector(`[data-number-of="${field.dataset.number}"]`);
  field.addEventListener("input", () => {
    const number = field.value.trim();
    place.querySelector("text").textContent = number;
    for (const outline of place.querySelectorAll("polygon")) outline.classList.toggle("unread", !number);
    if (line) line.textContent = number;
  });
  field.addEventListener("focus", () => place.classList.add("at"));
  field.addEventListener("blur", () => place.classList.remove("at"));
  place.addEventListener("click", () => { if (!shot.classList.contains("marking")) field.focus(); });
}

// What serves a rack alone is asked of a rack alone.
for (const choice of document.querySelectorAll("select[name=shows]")) {
  const fieldOf = (name) => choice.form.elements[name]?.closest(".field");
  const fit = () => {
    for (const name of ["rows", "columns", "order"]) fieldOf(name)?.toggleAttribute("hidden", choice.value !== "rack");
    fieldOf("first")?.toggleAttribute("hidden", choice.value === "print");
  };
  choice.addEventListener("change", fit);
  fit();
}

const form = document.getElementById("again");
if (shot && form) {
  const RACK_CORNERS = 4;
  const field = form.elements.outline;
  const part = (name) => form.querySelector(`[data-mark=${name}]`);
  const [width, height] = [Number(shot.dataset.width), Number(shot.dataset.height)];
  const drawn = (name, attributes) => {
    const made = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    return made;
  };
  const svg = drawn("svg", { class: "marks", viewBox: `0 0 ${width} ${height}`, "aria-hidden": "true" });
  shot.append(svg);
  const corners = JSON.parse(field.value || "[]");
  let marking = false;
  const isRack = () => form.elements.shows.value === "rack";
  const show = () => {
    svg.replaceChildren(
      ...(corners.length > 2 ? [drawn("polygon", { class: "drawn", points: corners.map((corner) => corner.join(",")).join(" ") })] : []),
      ...corners.map(([x, y]) => drawn("circle", { class: "corner", cx: x, cy: y, r: width / 90 })),
    );
    field.value = JSON.stringify(corners);
    const { saidOne, saidMore, saidRack, saidCloth } = part("said").dataset;
    const marked = (corners.length === 1 ? saidOne : saidMore).replace("{count}", corners.length);
    const wanted = isRack() ? saidRack : saidCloth;
    part("said").textContent = marking || corners.length ? `${marked} ${marking ? wanted : ""}` : "";
    part("undo").hidden = !marking || !corners.length;
    part("clear").hidden = !corners.length;
  };
  const mark = (now) => {
    marking = now;
    shot.classList.toggle("marking", marking);
    part("start").setAttribute("aria-pressed", String(marking));
    show();
  };
  form.querySelector(".draw").hidden = false;
  part("start").addEventListener("click", () => { mark(!marking); if (marking) shot.scrollIntoView({ block: "nearest" }); });
  part("undo").addEventListener("click", () => { corners.pop(); show(); });
  part("clear").addEventListener("click", () => { corners.length = 0; mark(false); });
  form.elements.shows.addEventListener("change", () => { corners.length = 0; show(); });
  shot.addEventListener("pointerup", (event) => {
    if (!marking) return;
    const box = shot.getBoundingClientRect();
    corners.push([Math.round((event.clientX - box.left) / box.width * width), Math.round((event.clientY - box.top) / box.height * height)]);
    if (isRack() && corners.length === RACK_CORNERS) mark(false);
    show();
  });
  show();
}
