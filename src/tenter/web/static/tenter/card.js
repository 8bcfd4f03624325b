// The outline that is made as large as a bank card. What is shown while it is moved is not kept before it fits.
import { said } from "./said.js";
import { apply, CARD_MM, forget, keep, kept, OWN } from "./scale.js";

const outline = document.getElementById("card"), slider = document.getElementById("card-width"), told = document.getElementById("scale");
const number = new Intl.NumberFormat(document.documentElement.lang, { maximumFractionDigits: 2 });

function draw() {
  const wide = Number(slider.value);
  outline.style.setProperty("--card", `${wide}px`);
  apply(wide / CARD_MM);
}

function tell() {
  const pixels = kept();
  slider.value = String((pixels || OWN) * CARD_MM);
  draw();
  if (Number.isNaN(pixels)) told.textContent = said("bad");
  else told.textContent = pixels ? said("kept", { pixels: number.format(pixels) }) : said("own", { pixels: number.format(OWN) });
}

slider.addEventListener("input", draw);
addEventListener("resize", draw);
slider.focus({ preventScroll: true }); // so that the arrow keys work at once
document.getElementById("fit").addEventListener("submit", (event) => {
  event.preventDefault();
  if (keep(Number(slider.value))) tell();
  else told.textContent = said("bad");
});
document.getElementById("own-scale").addEventListener("click", () => { forget(); tell(); });
tell();
