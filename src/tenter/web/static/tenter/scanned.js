import { whenComing } from "./coming.js";

// The cloth whose label a connected device has just scanned: its page is opened, or it is put into a field. What is typed
// and not saved is never left: then a link is shown, or the field is only filled. One tab takes a scan, and once.
const place = document.getElementById("scanned");
const EVERY = 2000; // milliseconds
const TAKEN = "tenter-scanned"; // the scan that was taken last, in this browser
const field = () => document.querySelector(place.dataset.fills);
const shown = (one) => one && (one.closest("dialog")?.open ?? true);
const wanted = () => document.visibilityState === "visible" && ("goes" in place.dataset || shown(field()));
const typed = () => "asks" in place.dataset || [...document.querySelectorAll("main input, main textarea")].some(
  (one) => !one.matches("[type=hidden], [type=checkbox], [type=radio]") && one.value !== one.defaultValue,
);

function addressOf(cloth) {
  const to = new URL(place.dataset.goes, location.href);
  if (to.pathname === location.pathname) to.search = location.search; // what stays the same from one cloth to the next
  to.searchParams.set("cloth", cloth);
  return to;
}

function tell(now, address = null) {
  const said = "goes" in place.dataset ? place : field().form.querySelector("[role=alert]");
  const line = said ?? document.getElementById("notice");
  if (line.dataset.scan === now.scan && line.textContent) return;
  line.dataset.scan = now.scan;
  line.textContent = address ? `${now.said}. ` : now.said;
  line.hidden = false;
  if (!address) return;
  const link = document.createElement("a");
  link.href = address;
  link.textContent = place.dataset.saidOpen;
  link.addEventListener("click", () => localStorage.setItem(TAKEN, now.scan));
  line.append(link);
}

// What is selected, as all of it is when the dialog opens, is replaced, as by typing; otherwise the cloth is added.
function put(cloth, into) {
  if ("holds" in place.dataset) return hold(cloth, into);
  const all = into.selectionStart === 0 && into.selectionEnd === into.value.length;
  into.value = all ? cloth : `${into.value.trim()} ${cloth}`.trim();
  into.focus();
  into.setSelectionRange(into.value.length, into.value.length);
}

// One cloth, held at once; whatever else is being typed stays as it is.
function hold(cloth, into) {
  into.value = into.defaultValue;
  const sends = !typed();
  into.value = cloth;
  if (sends) into.form.requestSubmit();
}

function take(now) {
  if (!now.scan || localStorage.getItem(TAKEN) === now.scan) return;
  if (!now.cloth) return tell(now);
  if ("fills" in place.dataset) {
    localStorage.setItem(TAKEN, now.scan);
    put(now.cloth, field());
    return;
  }
  const to = addressOf(now.cloth);
  if (typed()) return tell(now, to);
  localStorage.setItem(TAKEN, now.scan);
  location.assign(to);
}

async function look() {
  if (wanted()) {
    try {
      const answer = await fetch(place.dataset.scanned, { cache: "no-store", headers: { Accept: "application/json" }, redirect: "error" });
      const now = answer.ok ? await answer.json() : null;
      if (now) take(now);
      if (now && !now.on) return whenComing(place.dataset.coming, "labels", look); // no device can scan any more
    } catch { /* the server is away; ask again */ }
  }
  setTimeout(look, EVERY);
}
if ("off" in place.dataset) whenComing(place.dataset.coming, "labels", look);
else look();
