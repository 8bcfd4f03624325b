"use strict";
(() => {
  const told = JSON.parse(document.getElementById("told").textContent);
  const bytes = Uint8Array.from(atob(told.table), (sign) => sign.charCodeAt(0));
  const ask = document.getElementById("ask");
  const form = ask.querySelector("form");
  const input = ask.querySelector("input");
  const answer = ask.querySelector(".answer");
  const field = (name) => answer.querySelector(`[data-part="${name}"]`);

  const spelt = (text) => text.normalize("NFC").toLowerCase().replace(/gray/g, "grey").replace(/[^\p{L}\p{M}\p{N}]/gu, "");

  const ofHex = (text) => {
    const found = /^#?([0-9a-f]{3}|[0-9a-f]{6})$/.exec(text);
    if (!found) return null;
    const digits = found[1].length === 3 ? [...found[1]].map((one) => one + one).join("") : found[1];
    return [0, 2, 4].map((place) => parseInt(digits.slice(place, place + 2), 16));
  };

  const cell = ([r, g, b]) => {
    const place = (code) => Math.floor((code * (told.levels - 1) + 127) / 255);
    const at = told.bytes * ((place(r) * told.levels + place(g)) * told.levels + place(b));
    let packed = 0;
    for (let n = told.bytes - 1; n >= 0; n -= 1) packed = packed * 256 + bytes[at + n];
    return packed;
  };

  const hexOf = (rgb) => `#${rgb.map((code) => code.toString(16).padStart(2, "0")).join("")}`;
  const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

  const show = (name, rgb, packed, how, typical) => {
    const found = {};
    for (const [key, size] of told.sizes) {
      found[key] = packed % size;
      packed = Math.floor(packed / size);
    }
    const why = told.why[how][found.answer];
    const axes = told.axes.slice(0, told.said[found.held]);
    const off = axes.map((axis, n) => told.offs[n][found[axis]]).join(told.joint);
    const [near, hex] = told.nears[found.near];
    const sure = why.length ? "" : told.confidences[how][found.confidence];
    const shades = typical && !why.length ? told.typical.replace("{name}", () => name) : "";
    const lines = [told.wishes[found.wish], ...why.map((line) => line.replace("{name}", () => name)), off && capital(told.off.replace("{off}", () => off)), told.helds[found.held], told.wears[found.wear], near, shades, sure];
    field("asked").style.backgroundColor = hexOf(rgb);
    field("own").style.backgroundColor = hex;
    field("name").textContent = told.asked.replace("{name}", () => capital(name));
    field("answer").textContent = told.answers[found.answer];
    field("lines").replaceChildren(...lines.filter(Boolean).map((line) => {
      const one = document.createElement("p");
      one.textContent = line;
      return one;
    }));
    answer.hidden = false;
    field("unknown").hidden = true;
    field("known").hidden = false;
  };

  const unknown = (typed) => {
    const words = typed.toLowerCase().split(/[^\p{L}\p{M}\p{N}]+/u).filter(Boolean);
    const having = (some) => told.names.map(([name]) => name).filter((name) => name.split(" ").some((word) => some.includes(word)));
    const alike = [...new Set([...having(words.slice(-1)), ...having(words)])];
    field("unknown").textContent = alike.length
      ? `${told.unknown} ${told.alike.replace("{names}", () => alike.slice(0, 6).join(told.joint))}`
      : `${told.unknown} ${told.otherwise}`;
    answer.hidden = false;
    field("unknown").hidden = false;
    field("known").hidden = true;
  };

  const names = new Map(); // the first that is spelt so is meant
  const meant = (word, known) => {
    if (!names.has(spelt(word))) names.set(spelt(word), [word, ...known]);
  };
  for (const [name, ...known] of told.names) meant(name, known);
  for (const [word, name] of Object.entries(told.also)) meant(word, names.get(spelt(name)).slice(1));
  const answered = (text) => {
    const typed = text.trim();
    if (!typed) {
      answer.hidden = true;
      return;
    }
    const named = names.get(spelt(typed)) ?? null;
    const rgb = ofHex(named ? named[1] : typed.toLowerCase());
    if (rgb === null) unknown(typed);
    else if (named) show(named[0], rgb, named[2], "name", named[3]);
    else show(hexOf(rgb), rgb, cell(rgb), "screen");
  };

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    answered(input.value);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && document.querySelector(".band:target")) history.back();
  });
  for (const one of document.querySelectorAll(".scripted")) one.hidden = false;
})();
