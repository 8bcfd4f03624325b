// The palette changes in its place: forms and links are asked for by themselves, and the page keeps where it was. Without
// scripts each is a page of its own. Arrows go from colour to colour; a key presses the control that bears its name.

const main = document.getElementById("main");
let busy = false;

async function ask(address, options, focus) {
  if (busy) return;
  busy = true;
  try {
    const answer = await fetch(address, options);
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const found = page.getElementById("main");
    if (!found || !page.querySelector(".rails")) { location.assign(answer.url); return; }
    main.replaceChildren(...found.childNodes);
    history.replaceState(null, "", options.method === "POST" && !answer.redirected ? location.href : answer.url);
    focusOn(focus);
  } catch {
    const notice = document.getElementById("notice");
    notice.textContent = notice.dataset.saidUnanswered;
  } finally {
    busy = false;
  }
}

// After a move the colour is still held; after anything else the panel says what is next.
function focusOn(place) {
  const held = main.querySelector("[data-hung][aria-current]");
  const wanted = place === "held" ? held : document.getElementById("panel-title");
  (wanted ?? held)?.focus({ preventScroll: place !== "held" });
}

main.addEventListener("click", (event) => {
  const link = event.target.closest("a[data-hung], a[data-board]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  ask(link.href, {}, link.matches("[data-hung]") && matchMedia("(min-width: 62rem)").matches ? "held" : "panel");
});

main.addEventListener("submit", (event) => {
  const form = event.target, said = new FormData(form, event.submitter);
  event.preventDefault();
  if (form.method === "get") { ask(`${form.action}?${new URLSearchParams(said)}`, {}, "panel"); return; }
  ask(form.action, { method: "POST", body: new URLSearchParams(said) }, said.get("act") === "move" ? "held" : "panel");
});

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.target.closest("input, select, textarea")) return;
  const hung = [...main.querySelectorAll("[data-hung]")];
  const at = hung.indexOf(event.target.closest("[data-hung]"));
  const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
  if (step && hung.length) {
    event.preventDefault();
    hung[at < 0 ? hung.findIndex((h) => h.matches("[aria-current]")) + (step > 0 ? 1 : 0) || 0 : (at + step + hung.length) % hung.length]?.focus();
    return;
  }
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const control = main.querySelector(`[data-key="${CSS.escape(key)}"]`);
  if (control && !event.repeat) { event.preventDefault(); control.click(); }
});
