// The phone as camera: a photograph is sent as soon as it was taken. Without scripts there is a button for it.
document.addEventListener("change", (event) => {
  const field = event.target;
  if (!field.matches("#picture") || !field.files.length) return;
  const said = document.getElementById("sending");
  said.textContent = said.dataset.saidSending;
  field.form.requestSubmit();
});
