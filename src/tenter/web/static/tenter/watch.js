import { whenComing } from "./coming.js";

// A page that shows by itself what came meanwhile: where the server names another version, the parts that are watched are
// fetched and put in the place of those there were. What was ticked stays ticked. A place that only says something is
// given the line alone, and nothing is asked for it before pictures can come.
const place = () => document.querySelector("[data-watch]");
const EVERY = 1000; // milliseconds, unless the page says otherwise
const every = () => Number(place()?.dataset.every) || EVERY;
async function bring() {
  const answer = await fetch(place().dataset.page || location.href, { cache: "no-store" });
  if (!answer.ok) return;
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const old of document.querySelectorAll("[data-watched]")) {
    const fresh = page.getElementById(old.id);
    if (!fresh) return location.reload(); // another page by now
    if (old.contains(document.activeElement) && document.activeElement.matches("input:not([type=checkbox]), select")) continue;
    for (const box of fresh.querySelectorAll("input[type=checkbox]")) {
      const before = document.getElementById(box.id);
      if (before) box.checked = before.checked;
    }
    old.replaceWith(document.adoptNode(fresh));
  }
}
async function look() {
  const watched = place();
  if (watched && document.visibilityState === "visible") {
    try {
      const answer = await fetch(watched.dataset.watch, { cache: "no-store", headers: { Accept: "application/json" } });
      const told = answer.ok ? await answer.json() : null;
      if (told && "says" in watched.dataset) {
        watched.textContent = told.said;
        watched.hidden = !told.said;
      } else if (told && told.version !== watched.dataset.version) await bring();
    } catch { /* the server is away; ask again */ }
  }
  setTimeout(look, every());
}
const off = document.querySelector("[data-watch][data-off]");
if (off) whenComing(off.dataset.coming, "pictures", look);
else setTimeout(look, every());
