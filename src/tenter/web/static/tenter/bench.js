// The bench's hands. Every answer is a button of the form; a key presses a button. An entry is kept on this device until
// the server has it, and the screen changes only then.
import { said } from "./said.js";

const SETTLE_MS = 250; // a second press so soon after the screen changed is a bounce, not an answer
const AHEAD_MS = 400;
const HELD_MS = 25; // a finger stays on a key for longer; a scanner has let go of it, or typed on
const SCAN_MS = 50; // between two letters of a scan at the most: slower than scanners, faster than hands
const SCANNED_LEAST = 3; // letters that are a scan also without Enter after them
const TRY_AGAIN_MS = [500, 1000, 2000, 4000];
const KEY_NAMES = { ArrowLeft: "←", ArrowRight: "→", ArrowDown: "↓", Escape: "Esc", Delete: said("delete") };
const notice = document.getElementById("notice");
const stage = document.getElementById("stage");
const keysDialog = document.getElementById("keys");
const mine = `tenter-bench-${stage.dataset.sitting}-`;
const form = () => document.getElementById("bench");
const drawn = () => Number(form().dataset.version);

let busy = false; // while an entry is on its way or waits on this device
let shownAt = -SETTLE_MS;
let latest = 0; // how much has happened in the sitting, as the server tells it
let looking = false; // while other cloths are being asked for
let reaching = 0; // the wait for what comes after these cloths
let pressedAt = null; // when the key was pressed that presses a button now
let letters = []; // that may be of a scan
let waitsForMore = 0;
let remarks = new Set(); // "flag D061:too-warm", "sign D061:even"
let order = []; // the fan so far, best first: [["D074"], ["D073", "D075"]]
let drawerOpen = "open" in stage.dataset || !matchMedia("(min-width: 60rem) and (pointer: fine)").matches;

document.documentElement.classList.add("scripted");

// -- what is said beside the cloths ----------------------------------------------------------------------------------

function say(words, waiting = false) {
  notice.textContent = words;
  notice.classList.toggle("waiting", waiting);
  stage.dataset.busy = busy ? "yes" : "no";
}

function tellNoted() {
  const words = [...remarks].map(inWords);
  if (form().elements.view?.checked) words.unshift(said("half-face"));
  const who = form().querySelector("[name=source]:checked");
  if (who?.dataset.saidNoted) words.unshift(who.dataset.saidNoted);
  document.getElementById("noted").textContent = words.join(" · ");
  for (const kind of ["flag", "sign"]) {
    form().elements[`${kind}s`].value = [...remarks].filter((r) => r.startsWith(kind)).map((r) => r.split(" ")[1]).join(" ");
  }
}

function inWords(remark) {
  const [kind, cloth, word] = remark.match(/^(\w+) (.*):([\w-]+)$/).slice(1);
  const button = document.querySelector(`#notes [data-${kind}="${word}"]`);
  return said("remark", { cloth, remark: button.firstChild.textContent });
}

function dressStage() {
  remarks = new Set();
  order = [];
  shownAt = performance.now();
  const drawer = stage.querySelector(".drawer");
  drawer.open = drawerOpen;
  drawer.addEventListener("toggle", () => { drawerOpen = drawer.open; });
  for (const button of stage.querySelectorAll("[data-keys]")) {
    if (button.matches("input, .step")) continue;
    const hint = document.createElement("kbd");
    hint.setAttribute("aria-hidden", "true");
    hint.textContent = shortKey(button.dataset.keys.split(" ")[0]);
    button.append(hint);
  }
  const keep = document.getElementById("keep");
  if (keep) keep.disabled = true;
  tellNoted();
  tellTime();
  clearTimeout(reaching);
  reaching = setTimeout(reachAhead, AHEAD_MS);
}

// The minutes go on while the page stands still.
function tellTime() {
  const clock = document.getElementById("clock");
  if (!clock) return;
  const passed = Math.floor((performance.now() - shownAt) / 60000);
  const used = Number(clock.dataset.used) + passed, left = Number(clock.dataset.left) - passed;
  clock.textContent = left >= 0 ? said("left", { used, left }) : said("over", { used, over: -left });
}

// Whether to go on, and which cloths to reach for next, is asked for once the eye is on these, so that no answer waits.
async function reachAhead() {
  const place = document.getElementById("ahead"), version = drawn();
  if (!place || busy || document.hidden) return;
  try {
    const now = await fetch(stage.dataset.ahead, { headers: { Accept: "application/json" }, redirect: "error" }).then((r) => r.json());
    if (!place.isConnected || now.version !== version) return;
    document.getElementById("advice").textContent = now.advice;
    document.getElementById("to-read").hidden = !now.over;
    const enough = document.getElementById("enough");
    if (enough) enough.hidden = !now.enough;
    if (now.pairs.length) place.textContent = said("next", { pairs: now.pairs.map((pair) => pair.join(" ")).join(" · ") });
  } catch { /* hands do without */ }
}

function shortKey(key) {
  return KEY_NAMES[key] ?? key.toUpperCase();
}

function show(now) {
  stage.innerHTML = now.stage;
  latest = Math.max(latest, now.version);
  dressStage();
}

// -- entries: kept here until the server has them ----------------------------------------------------------------------

function newKey() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
}

function kept() {
  return Object.keys(localStorage).filter((name) => name.startsWith(mine)).sort();
}

function enter(sender, submitter) {
  if (busy || (pressedAt ?? performance.now()) - shownAt < SETTLE_MS) return;
  const filled = new FormData(sender);
  if (submitter?.name) filled.append(submitter.name, submitter.value);
  filled.set("key", newKey());
  const fields = [...filled].filter(([name]) => name !== "csrfmiddlewaretoken");
  const place = `${mine}${String(Date.now()).padStart(14, "0")}-${filled.get("key")}`;
  localStorage.setItem(place, JSON.stringify({ at: Date.now(), fields }));
  closeDialogs();
  deliver();
}

async function deliver() {
  if (busy) return;
  busy = true;
  for (let tries = 0, places; (places = kept()).length; ) {
    let answer = null;
    try {
      if (!tries) say(said("saving"));
      answer = await send(JSON.parse(localStorage.getItem(places[0])));
    } catch {
      answer = null; // the network or the server is gone
    }
    if (!answer || answer.wait) {
      say(answer ? said("not-yet", { why: answer.wait }) : said("no-answer"), true);
      await pause(TRY_AGAIN_MS[Math.min(tries++, TRY_AGAIN_MS.length - 1)]);
    } else if (answer.hold) {
      say(answer.hold, true);
      return; // stays busy: nothing more can be entered before the page is loaded again
    } else if (answer.ended) {
      show(answer.ended);
      busy = false;
      tellWaiting();
      return; // until the sitting is opened again, here or on another device
    } else {
      localStorage.removeItem(places[0]);
      tries = 0;
      settle(answer.now);
    }
  }
  busy = false;
  stage.dataset.busy = "no";
  if (latest > drawn()) refresh();
}

function tellWaiting() {
  const waiting = kept().length;
  if (waiting) say(waiting === 1 ? said("ended-one") : said("ended-more", { count: waiting }), true);
}

async function send(entry) {
  const body = new URLSearchParams(entry.fields);
  body.set("waited", String(Math.max(0, Date.now() - entry.at)));
  const response = await fetch(form().action, {
    method: "POST", body, redirect: "manual", signal: AbortSignal.timeout(10000),
    headers: { Accept: "application/json", "X-CSRFToken": form().elements.csrfmiddlewaretoken.value },
  });
  if (response.type === "opaqueredirect") return { hold: said("log-in") };
  if (response.status === 403 || response.status === 404) return { hold: said("not-yours") };
  if (response.status === 503 || response.status === 507) return { wait: (await response.json()).problem };
  if (!response.ok && response.status !== 409 && response.status !== 422) return null;
  const now = await response.json();
  return response.status === 409 && now.ended ? { ended: now } : { now };
}

function settle(now) {
  if (now.stage) show(now);
  if (now.problem) say(said("not-saved", { why: now.problem }), true);
  else say(`${said("saved", { what: now.last })}${now.moved ? ` ${said("moved")}` : ""}`);
}

function pause(ms) {
  return new Promise((done) => {
    const timer = setTimeout(finish, ms);
    function finish() { clearTimeout(timer); removeEventListener("online", finish); done(); }
    addEventListener("online", finish);
  });
}

// -- looking without entering ------------------------------------------------------------------------------------------

async function look(query) {
  const response = await fetch(`${stage.dataset.state}${query}`, { headers: { Accept: "application/json" }, redirect: "manual" });
  return response.type === "opaqueredirect" ? { problem: said("logged-out") } : response.json();
}

async function hold(address, asked = null) {
  if (busy || looking) return;
  looking = true;
  try {
    const now = await look(address.search);
    if (now.problem) { fault(now.problem, asked); return; }
    closeDialogs();
    show(now);
    say("");
  } catch {
    say(said("try-again"), true);
  } finally {
    looking = false;
  }
  if (latest > drawn()) refresh();
}

// A word that fits no cloth, or several, is told where it was typed, and what is typed next replaces it.
function fault(problem, asked) {
  const place = asked?.querySelector("[role=alert]");
  if (!place) { say(`${problem}.`, true); return; }
  place.textContent = `${problem}.`;
  asked.elements.cloths.select();
}

async function refresh() {
  if (busy || looking || document.querySelector("dialog[open]")) return;
  try {
    let now = await look(location.search); // an ended sitting keeps the cloths that its address names until it goes on
    if (now.problem && location.search) now = await look("");
    if (!busy && !looking && now.stage && now.version > drawn()) {
      const news = newsOf(now);
      show(now);
      forgetAddress();
      say(news);
      if (!now.ended && kept().length) deliver();
      else tellWaiting();
    }
  } catch { /* the next event, or the return of the network, looks again */ }
}

// What an address named is held now, and another device may change it.
function forgetAddress() {
  if (!("ended" in form().dataset)) history.replaceState(null, "", stage.dataset.bench);
}

function newsOf(now) {
  if (now.ended) return said("elsewhere-ended");
  if ("ended" in form().dataset) return said("elsewhere-open");
  if (now.event > Number(form().dataset.event)) return said("elsewhere", { what: now.last });
  return said(now.chosen ? "elsewhere-own" : "elsewhere-plan");
}

// -- remarks and fans ---------------------------------------------------------------------------------------------------

function press(pressed, among) {
  for (const button of among) button.setAttribute("aria-pressed", String(pressed(button)));
}

function remarkOn(cloth) {
  const notes = document.getElementById("notes");
  notes.dataset.cloth = cloth;
  press((b) => b.dataset.of === cloth, notes.querySelectorAll("[data-of]"));
  press((b) => remarks.has(remarkOf(b, cloth)), notes.querySelectorAll("[data-flag], [data-sign]"));
}

function remarkOf(button, cloth) {
  return button.dataset.flag ? `flag ${cloth}:${button.dataset.flag}` : `sign ${cloth}:${button.dataset.sign}`;
}

function toggleRemark(button) {
  const cloth = document.getElementById("notes").dataset.cloth;
  const remark = remarkOf(button, cloth);
  if (!remarks.delete(remark)) remarks.add(remark);
  remarkOn(cloth);
  tellNoted();
}

function takeStep(cloth) {
  if (order.flat().includes(cloth)) return;
  if (order.tie) order.at(-1).push(cloth); else order.push([cloth]);
  order.tie = false;
  tellOrder();
}

function tellOrder() {
  const steps = [...stage.querySelectorAll(".step")];
  for (const step of steps) {
    const rank = order.findIndex((r) => r.includes(step.dataset.step));
    step.classList.toggle("taken", rank >= 0);
    step.querySelector(".rank").textContent = rank < 0 ? "" : `${rank + 1}.`;
  }
  document.getElementById("order").value = order.map((rank) => rank.join(" = ")).join(" > ");
  document.getElementById("keep").disabled = order.flat().length < steps.length;
}

// -- dialogs, clicks and keys -------------------------------------------------------------------------------------------

function open(name) {
  const dialog = document.getElementById(name);
  if (dialog === keysDialog) listKeys();
  if (name === "notes") remarkOn(dialog.querySelector("[data-of]").dataset.of);
  if (name === "own") document.getElementById("own-scanned").textContent = "";
  dialog.showModal();
  dialog.querySelector("input[name=cloths]")?.select(); // so that typing, or a scanner, replaces what stands there
}

function closeDialogs() {
  for (const dialog of document.querySelectorAll("dialog[open]")) dialog.close();
}

function listKeys() {
  const list = keysDialog.querySelector("dl");
  list.replaceChildren();
  for (const button of stage.querySelectorAll("[data-said]")) {
    const key = document.createElement("dt"), words = document.createElement("dd");
    key.textContent = button.dataset.keys.split(" ").map(shortKey).join("  ");
    words.textContent = button.dataset.said;
    list.append(key, words);
  }
}

document.addEventListener("click", (event) => {
  const at = event.target.closest("button, a, summary, input");
  if (!at) return;
  if (at.dataset.open) open(at.dataset.open);
  else if ("close" in at.dataset) closeDialogs();
  else if (at.dataset.of) remarkOn(at.dataset.of);
  else if (at.dataset.flag || at.dataset.sign) toggleRemark(at);
  else if (at.dataset.step) takeStep(at.dataset.step);
  else if ("tie" in at.dataset) order.tie = order.length > 0;
  else if ("again" in at.dataset) { order = []; tellOrder(); }
  else if (at.matches("a[data-swap]") && (busy || kept().length)) { event.preventDefault(); say(said("not-swapped"), true); }
  else if (at.matches("a[data-hold]")) { event.preventDefault(); hold(new URL(at.href)); }
});

document.addEventListener("change", (event) => {
  if (event.target.matches("[name=source], [name=view]")) { tellNoted(); event.target.blur(); }
});

document.addEventListener("input", (event) => {
  if (event.target.id === "order") document.getElementById("keep").disabled = !event.target.value;
});

document.addEventListener("submit", (event) => {
  if (event.target.matches("[data-plain]")) {
    if ("end" in event.target.dataset && kept().length) {
      event.preventDefault();
      say(said("not-ended"), true);
    }
    return;
  }
  event.preventDefault();
  if (event.target.matches("[data-hold]")) {
    const address = new URL(event.target.action);
    address.searchParams.set("cloths", new FormData(event.target).get("cloths").trim());
    hold(address, event.target);
  } else enter(event.target, event.submitter);
});

document.addEventListener("close", () => { if (latest > drawn()) refresh(); }, true);

// A scanner types what it reads: faster than hands do, and as a rule with Enter at its end. So a letter waits until its key
// is seen to be held, as a finger holds it, or until none has followed at once. What was scanned is cloths to hold: none
// of its letters is a key of the bench.
function keyed(key) {
  const dialog = document.querySelector("dialog[open]");
  return [...(dialog ?? stage).querySelectorAll("[data-keys]")].find(
    (b) => b.dataset.keys.split(" ").includes(key) && !b.disabled && (dialog || !b.closest("dialog")),
  );
}

function pressKey(key, at) {
  const found = keyed(key);
  if (!found || (busy && found.closest("form"))) return;
  pressedAt = at;
  found.click();
  pressedAt = null;
}

function readLetter(event, key) {
  if (letters.length && event.timeStamp - letters.at(-1).stamp > SCAN_MS) settleLetters();
  if (letters.length || keyed(key)) event.preventDefault();
  if (event.repeat) return;
  letters.push({ letter: event.key, key, code: event.code, held: true, stamp: event.timeStamp, at: performance.now() });
  clearTimeout(waitsForMore);
  waitsForMore = setTimeout(settleHeld, HELD_MS);
}

function settleHeld() {
  if (letters.length === 1 && letters[0].held) settleLetters();
  else waitsForMore = setTimeout(settleLetters, SCAN_MS - HELD_MS);
}

function settleLetters(ended = false) {
  const read = letters;
  letters = [];
  clearTimeout(waitsForMore);
  if (read.length >= (ended ? 2 : SCANNED_LEAST)) takeScan(read.map((one) => one.letter).join(""));
  else for (const one of read) pressKey(one.key, one.at);
  return read.length > 1;
}

function takeScan(text) {
  const field = document.querySelector("#own input[name=cloths], .own input[name=cloths]");
  if (!field || "ended" in form().dataset) return;
  const before = field.closest("dialog[open]") ? `${field.value.trim()} ` : "";
  closeDialogs();
  if (field.closest("dialog")) open("own");
  field.value = `${before}${text.trim()} `.trimStart();
  field.focus();
  field.setSelectionRange(field.value.length, field.value.length); // so that the next label is typed after it
  const told = document.getElementById("own-scanned");
  if (told) told.textContent = said("scanned"); else field.form.requestSubmit(); // the show round holds one cloth
}

document.addEventListener("keydown", (event) => {
  const typing = event.target.matches("input:not([type=radio], [type=checkbox]), select, textarea");
  if (typing || event.ctrlKey || event.metaKey || event.altKey || event.key === "Shift") return;
  const key = event.key.length === 1 ? event.key.toLowerCase() : `${event.shiftKey ? "Shift+" : ""}${event.key}`;
  if (event.key.length === 1 && (event.key !== " " || letters.length)) { readLetter(event, key); return; }
  if (letters.length && settleLetters(event.key === "Enter") && event.key === "Enter") { event.preventDefault(); return; }
  if (key === "Enter" && event.target.matches("button, a, summary")) return; // the browser presses it
  if (!keyed(key)) return;
  event.preventDefault();
  if (!event.repeat) pressKey(key, performance.now());
});

document.addEventListener("keyup", (event) => {
  for (const one of letters) if (one.code === event.code) one.held = false;
});

addEventListener("online", () => (kept().length ? deliver() : refresh()));
addEventListener("visibilitychange", () => { if (!document.hidden) { refresh(); reachAhead(); } });

const stream = new EventSource(stage.dataset.events);
stream.onmessage = (event) => {
  latest = Number(event.data);
  if (latest > drawn()) refresh();
};

setInterval(tellTime, 20000);
dressStage();
forgetAddress();
shownAt = -SETTLE_MS;
stage.dataset.busy = "no";
if (kept().length) deliver();
