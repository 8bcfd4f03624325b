// The recovery sheet is printed by its button.
document.querySelector("[data-print]").addEventListener("click", () => window.print());
