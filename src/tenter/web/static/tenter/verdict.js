// One key holds a pair again, turns the page or opens a part: it follows the link or the summary that bears its name.
document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.target.closest("input, select, textarea")) return;
  if (event.target.closest("summary") && (event.key === "Enter" || event.key === " ")) return;
  const bearer = document.querySelector(`[data-key="${CSS.escape(event.key.toLowerCase())}"]`);
  if (bearer) { event.preventDefault(); bearer.click(); }
});
