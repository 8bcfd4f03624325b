// The page is printed by a button where scripts run.
const button = document.querySelector("[data-print-page]");
button.hidden = false;
button.addEventListener("click", () => window.print());
