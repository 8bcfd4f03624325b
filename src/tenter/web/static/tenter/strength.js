// While a passphrase is typed, the server on this computer says how strong it is, by its one rule. Nothing is kept.
// A slip in what nobody can recover would lock its owner out, so that what was typed can be looked at.
const typed = document.querySelector("input[name=passphrase]");
const told = document.getElementById("strength");
let waiting;

async function ask() {
  const body = new FormData();
  body.set("passphrase", typed.value);
  body.set("csrfmiddlewaretoken", typed.form.elements.csrfmiddlewaretoken.value);
  const answer = await fetch(told.dataset.ask, { method: "POST", body });
  if (answer.ok) told.textContent = await answer.text();
}

typed?.addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(ask, 300);
});

const show = document.getElementById("show");
const secrets = document.querySelectorAll("input[type=password]");
if (show) show.hidden = false;
show?.addEventListener("change", (said) => secrets.forEach((input) => (input.type = said.target.checked ? "text" : "password")));
