// While a passphrase is typed, the server on this computer says how strong it is, by its one rule. Nothing is kept.
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
