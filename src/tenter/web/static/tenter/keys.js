// On every page with the bar: "/" goes to the search field and "?" lists the page's keys, unless one writes somewhere.
import { said } from "./said.js";

const field = document.querySelector(".bar input[name=q]");
const writes = (element) => element.matches("input:not([type=radio], [type=checkbox]), textarea, select, [contenteditable]");
const NAMES = { ArrowLeft: "←", ArrowRight: "→", Escape: "Esc", Delete: said("delete") };
let list = null;

function wordsOf(control) {
  const words = control.cloneNode(true);
  for (const hint of words.querySelectorAll("kbd")) hint.remove();
  return control.dataset.said ?? control.getAttribute("aria-label") ?? words.textContent.replace(/\s+/g, " ").trim();
}

function keysHere() {
  const found = [["/", said("search")], ["?", said("list")]];
  for (const control of document.querySelectorAll("[data-key]")) {
    if (!control.disabled) found.push([NAMES[control.dataset.key] ?? control.dataset.key.toUpperCase(), wordsOf(control)]);
  }
  if (document.querySelector("[data-hung]")) found.push(["←  →", said("hung")]);
  return found;
}

function made(name, text, parent) {
  const element = document.createElement(name);
  element.textContent = text;
  parent?.append(element);
  return element;
}

function showList() {
  list ??= document.createElement("dialog");
  list.className = "key-list";
  list.replaceChildren();
  list.setAttribute("aria-labelledby", "key-list-title");
  const title = made("h2", said("keys"), list), rows = made("dl", "", list), close = made("button", said("close"), list);
  title.id = "key-list-title";
  for (const [key, words] of keysHere()) { made("dt", key, rows); made("dd", words, rows); }
  close.type = "button";
  close.addEventListener("click", () => list.close());
  document.body.append(list);
  list.showModal();
}

document.addEventListener("keydown", (event) => {
  if (list?.open) { // while the list is read no key of the page acts
    if (event.key === "?") list.close();
    event.stopImmediatePropagation();
    return;
  }
  if (event.ctrlKey || event.metaKey || event.altKey || writes(event.target) || document.querySelector("dialog[open]")) return;
  if (document.body.matches(".bench") || document.querySelector("[data-keys-of]")) return; // they have keys of their own
  if (event.key === "?") { event.preventDefault(); showList(); }
  if (event.key !== "/") return;
  if (field && field.offsetParent) { event.preventDefault(); field.select(); field.focus(); } else if (field) location.assign(field.form.action);
}, true);
