// How far a photograph is, and outlines drawn on it. Without scripts the page asks anew by itself, and regions are left
// out by their boxes.
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

const shot = document.querySelector(".shot");
const form = document.getElementById("corrections");
if (shot && form) {
  const field = form.elements.excluded;
  const part = (name) => document.querySelector(`[data-draw=${name}]`);
  const [width, height] = [Number(shot.dataset.width), Number(shot.dataset.height)];
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
  svg.setAttribute("aria-hidden", "true");
  shot.append(svg);
  const closed = JSON.parse(field.value || "[]");
  let open = [];
  let drawing = false;
  const show = () => {
    svg.replaceChildren(...[...closed, open].filter((outline) => outline.length).map((outline) => {
      const polygon = document.createElementNS("http://www.w3.org/2000/svg", "polygon");
      polygon.setAttribute("class", "drawn");
      polygon.setAttribute("points", outline.map((corner) => corner.join(",")).join(" "));
      return polygon;
    }));
    field.value = JSON.stringify(closed);
    const whole = `${closed.length} outline${closed.length === 1 ? "" : "s"} drawn`;
    const more = open.length ? `, ${open.length} corner${open.length === 1 ? "" : "s"} of another` : "";
    part("said").textContent = drawing && !open.length ? `${whole}. Tap corners around it, then close the outline.` : drawing || closed.length ? `${whole}${more}.` : "";
    part("close").hidden = part("undo").hidden = !drawing;
  };
  const close = () => {
    if (open.length > 2) { closed.push(open); open = []; }
    show();
  };
  document.querySelector(".draw").hidden = false;
  part("start").addEventListener("click", () => {
    drawing = !drawing;
    shot.classList.toggle("drawing", drawing);
    part("start").setAttribute("aria-pressed", String(drawing));
    show();
  });
  part("close").addEventListener("click", close);
  part("undo").addEventListener("click", () => { if (open.length) open.pop(); else closed.pop(); show(); });
  shot.addEventListener("pointerup", (event) => {
    if (!drawing) return;
    const box = shot.getBoundingClientRect();
    open.push([Math.round((event.clientX - box.left) / box.width * width), Math.round((event.clientY - box.top) / box.height * height)]);
    show();
  });
  form.addEventListener("submit", close);
  show();
}
