// On every page with the bar: "/" goes to the search field, unless one writes somewhere.
const field = document.querySelector(".bar input[name=q]");
const writes = (element) => element.matches("input, textarea, select, [contenteditable]");
document.addEventListener("keydown", (event) => {
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || writes(event.target)) return;
  if (field && field.offsetParent) { event.preventDefault(); field.select(); field.focus(); } else if (field) location.assign(field.form.action);
});
