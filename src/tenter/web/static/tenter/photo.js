// How far a photograph is, one that is sent by choosing or dropping it, one region of it at a time, and outlines and a box
// drawn on it. Without scripts the page asks again by itself, a button sends, regions are links and are left out by their
// ticks, and a box is four numbers.
for (const place of document.querySelectorAll("[data-waits]")) {
  const bar = place.querySelector("progress");
  const look = async () => {
    try {
      const answer = await fetch(place.dataset.waits, { cache: "no-store" });
      if (answer.ok) {
        const told = await answer.json();
        if (!told.waits) return location.reload();
        if (bar) bar.value = told.progress;
      } else if (answer.status === 404) return location.reload();
    } catch { /* the server is away; ask again */ }
    setTimeout(look, 700);
  };
  setTimeout(look, 400);
}

const shoot = document.querySelector("[data-shoot]");
if (shoot) {
  const input = shoot.elements.camera;
  const said = shoot.querySelector("[data-sending]");
  shoot.querySelector("[data-dropping]").hidden = false;
  const send = () => { said.textContent = said.dataset.saidSending; shoot.requestSubmit(); };
  for (const one of [input, shoot.elements.picture]) one.addEventListener("change", () => { if (one.files.length) send(); });
  const isFile = (event) => event.dataTransfer?.types.includes("Files");
  const over = (on) => document.body.classList.toggle("dropping", on);
  addEventListener("dragover", (event) => { if (isFile(event)) { event.preventDefault(); over(true); } });
  addEventListener("dragleave", (event) => { if (!event.relatedTarget) over(false); });
  addEventListener("drop", (event) => {
    if (!isFile(event)) return;
    event.preventDefault();
    over(false);
    if (event.dataTransfer.files.length !== 1) { said.textContent = said.dataset.saidOne; return; }
    input.files = event.dataTransfer.files;
    send();
  });
}

// One region at a time: the one pointed at, tapped or reached by the keyboard, its colour large beside it; before, all of them.
const one = document.querySelector("[data-one]");
if (one) {
  const links = new Map([...document.querySelectorAll("a[data-region]")].map((link) => [link.dataset.region, link]));
  const places = new Map([...document.querySelectorAll(".overlay [data-region]")].map((place) => [place.dataset.region, place]));
  const patch = one.querySelector("[data-patch]"); // none where no colour is known
  let kept = document.querySelector("a[data-region][aria-current]")?.dataset.region ?? "";
  const look = (number) => {
    for (const [key, place] of places) place.classList.toggle("seen", key === number);
    for (const [key, link] of links) { if (key === number) link.setAttribute("aria-current", "true"); else link.removeAttribute("aria-current"); }
    const link = links.get(number);
    one.classList.toggle("all", !link);
    one.classList.toggle("empty", Boolean(link) && !link.dataset.hex);
    patch?.setAttribute("fill", link?.dataset.hex || "none");
    one.querySelector("[data-name]").textContent = link ? link.dataset.name : one.dataset.ask;
    one.querySelector("[data-note]").textContent = link ? link.dataset.note : "";
  };
  for (const [key, link] of links) {
    link.addEventListener("click", (event) => { event.preventDefault(); kept = key; look(key); });
    link.addEventListener("focus", () => { kept = key; look(key); });
    link.addEventListener("pointerenter", () => look(key));
    link.addEventListener("pointerleave", () => look(kept));
  }
  for (const [key, place] of places) {
    place.addEventListener("pointerenter", () => look(key));
    place.addEventListener("pointerleave", () => look(kept));
    place.addEventListener("click", () => { kept = key; look(key); });
  }
}

const shot = document.querySelector(".shot");
const form = document.getElementById("corrections");
if (shot && form) {
  const field = form.elements.excluded;
  const part = (name) => document.querySelector(`[data-draw=${name}]`);
  const [left, top, width, height] = shot.dataset.part.split(" ").map(Number);
  const reduction = Number(shot.dataset.reduction); // pixels of the upright original to one of the picture's
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", `${left} ${top} ${width} ${height}`);
  svg.setAttribute("aria-hidden", "true");
  shot.append(svg);
  for (const place of document.querySelectorAll(".draw")) place.hidden = false;
  const polygon = (outline, kind) => {
    const drawn = document.createElementNS("http://www.w3.org/2000/svg", "polygon");
    drawn.setAttribute("class", kind);
    drawn.setAttribute("points", outline.map((corner) => corner.join(",")).join(" "));
    return drawn;
  };
  const placeOf = (event) => {
    const box = shot.getBoundingClientRect();
    return [Math.round(left + (event.clientX - box.left) / box.width * width), Math.round(top + (event.clientY - box.top) / box.height * height)];
  };
  let tool = ""; // "", "outline" or "box"
  const take = (name) => {
    tool = tool === name ? "" : name;
    shot.classList.toggle("drawing", tool === "outline");
    shot.classList.toggle("boxing", tool === "box");
    part("start").setAttribute("aria-pressed", String(tool === "outline"));
    part("box")?.setAttribute("aria-pressed", String(tool === "box"));
    show();
  };

  // Outlines of what is left out: corners by taps. Words for each number come with the page, as languages count
  // differently; more than it has words for are refused there.
  const counted = (words, count) => {
    const known = words.split("|");
    return known[count] ?? known.at(-1).replace(/\d+/, count);
  };
  const closed = JSON.parse(field.value || "[]");
  let open = [];
  const tellOutlines = () => {
    field.value = JSON.stringify(closed);
    const drawing = tool === "outline";
    const said = part("said"), { saidOutlines, saidCorners, saidTap } = said.dataset;
    const whole = counted(saidOutlines, closed.length);
    const more = open.length ? `, ${counted(saidCorners, open.length)}` : "";
    said.textContent = drawing && !open.length ? `${whole}. ${saidTap}` : drawing || closed.length ? `${whole}${more}.` : "";
    part("close").hidden = part("undo").hidden = !drawing;
  };
  const close = () => {
    if (open.length > 2) { closed.push(open); open = []; }
    show();
  };
  part("start").addEventListener("click", () => take("outline"));
  part("close").addEventListener("click", close);
  part("undo").addEventListener("click", () => { if (open.length) open.pop(); else closed.pop(); show(); });
  form.addEventListener("submit", close);

  // The card's place: a box by dragging, by two taps on opposite corners, or by its four numbers.
  const numbers = ["left", "top", "width", "height"].map((name) => form.elements[name]);
  let corner = null; // where a drag or the first tap was
  let tapped = false;
  const boxOf = () => {
    const [x, y, w, h] = numbers.map((input) => Number(input.value) / reduction);
    return w > 0 && h > 0 ? [[x, y], [x + w, y], [x + w, y + h], [x, y + h]] : null;
  };
  const setBox = (one, other) => {
    const low = [0, 1].map((i) => Math.min(one[i], other[i]));
    const size = [0, 1].map((i) => Math.abs(one[i] - other[i]));
    [...low, ...size].forEach((value, i) => { numbers[i].value = Math.round(value * reduction); });
  };
  const tellBox = () => {
    part("boxed").textContent = tool === "box" ? (tapped ? part("boxed").dataset.saidOpposite : part("boxed").dataset.saidDrag) : "";
  };
  part("box")?.addEventListener("click", () => { tapped = false; corner = null; take("box"); if (tool) shot.scrollIntoView({ block: "nearest" }); });
  for (const input of numbers) input?.addEventListener("input", () => show());
  shot.addEventListener("pointerdown", (event) => {
    if (tool !== "box") return;
    event.preventDefault();
    shot.setPointerCapture(event.pointerId);
    if (!tapped) corner = placeOf(event);
  });
  shot.addEventListener("pointermove", (event) => {
    if (tool !== "box" || !corner || !(event.buttons || tapped)) return;
    setBox(corner, placeOf(event));
    show();
  });
  shot.addEventListener("pointercancel", () => { corner = null; tapped = false; });
  shot.addEventListener("pointerup", (event) => {
    if (tool === "outline") open.push(placeOf(event));
    else if (tool === "box" && corner) {
      const at = placeOf(event), reach = Math.hypot(at[0] - corner[0], at[1] - corner[1]);
      if (!tapped && reach < width / 60) tapped = true; // a tap: the other corner is to come
      else { setBox(corner, at); corner = null; tapped = false; take("box"); return; }
    }
    show();
  });

  const show = () => {
    const box = numbers.every(Boolean) ? boxOf() : null;
    svg.replaceChildren(
      ...[...closed, open].filter((outline) => outline.length).map((outline) => polygon(outline, "drawn")),
      ...(box ? [polygon(box, "boxed halo"), polygon(box, "boxed")] : []),
    );
    tellOutlines();
    if (part("box")) tellBox();
  };
  show();
}
