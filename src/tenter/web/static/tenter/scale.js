// How large a millimetre is on this screen, as a bank card held to the glass told it. It is kept in this browser alone, for
// screens of this size, in the screen's own pixels, so that a page made larger or smaller keeps it.
export const CARD_MM = 85.6; // the long side of a card of format ID-1, ISO/IEC 7810
export const OWN = 96 / 25.4; // CSS pixels of the browser's millimetre, which knows no screen
const LEAST = 150, MOST = 900; // CSS pixels of a card's long side: by judgement, from a wall's screen to a phone's
const place = () => `tenter-mm-${screen.width}x${screen.height}`;

// The CSS pixels of a millimetre: null where nothing is kept, NaN where what is kept is no card's.
export function kept() {
  const found = localStorage.getItem(place());
  if (found === null) return null;
  const wide = Number(found) / devicePixelRatio * CARD_MM;
  return isCard(wide) ? wide / CARD_MM : NaN;
}

const isCard = (wide) => wide >= LEAST && wide <= MOST;

// Keeps the width of the card, in CSS pixels, and says whether it can be one.
export function keep(wide) {
  if (!isCard(wide)) return false;
  localStorage.setItem(place(), String(wide / CARD_MM * devicePixelRatio));
  apply();
  return true;
}

export function forget() {
  localStorage.removeItem(place());
  apply();
}

export function apply(pixels = kept()) {
  if (pixels) document.documentElement.style.setProperty("--mm", `${pixels}px`);
  else document.documentElement.style.removeProperty("--mm");
}

apply();
addEventListener("resize", () => apply()); // the window may stand on another screen now
