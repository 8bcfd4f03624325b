// Says what a press would do on the bench. Nothing is sent.
import { said } from "./said.js";

const place = document.getElementById("press");
const rows = [...document.querySelectorAll("[data-keys-of]")];
const NAMES = { " ": said("space"), ArrowLeft: "←", ArrowRight: "→", ArrowUp: "↑", ArrowDown: "↓", PageUp: said("page-up"), PageDown: said("page-down") };
const TO_THE_BROWSER = ["Tab", "Shift+Tab", "F5", "Shift+F5", "F11"];

const named = (key) => key.split("+").map((part) => NAMES[part] ?? part).join(" + ") || "+";
for (const shown of document.querySelectorAll(".presses kbd")) shown.textContent = shown.textContent.split(" ").map(named).join("  ");

// The same reading of a key as the bench's own.
function keyOf(event) {
  return event.key.length === 1 ? event.key.toLowerCase() : `${event.shiftKey && event.key !== "Shift" ? "Shift+" : ""}${event.key}`;
}

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || event.key === "Shift") return;
  if (event.target.closest("input, select, textarea") || (event.key === "Enter" && event.target.closest("a, button, summary"))) return;
  const key = keyOf(event);
  const found = rows.find((row) => row.dataset.keysOf.split(" ").includes(key));
  if (found) {
    event.preventDefault();
    event.stopImmediatePropagation();
    place.textContent = `${named(key)}: ${found.cells[1].textContent}`;
  } else if (TO_THE_BROWSER.includes(key)) {
    place.textContent = said("browsers", { key: named(key) });
  } else {
    place.textContent = said("none", { key: named(key) });
  }
}, true);
