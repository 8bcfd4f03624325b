// One key holds a pair again: it follows the link that bears the key's name.
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.target.closest("input, select, textarea, summary")) return;
  const link = document.querySelector(`a[data-key="${CSS.escape(event.key.toLowerCase())}"]`);
  if (link) { event.preventDefault(); link.click(); }
});
