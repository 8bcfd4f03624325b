// The printer's dialogue opens as soon as the papers are there, and again by the button.
const papers = document.getElementById("papers");
const button = document.querySelector("[data-print]");

function printThem() {
  papers.contentWindow.focus();
  papers.contentWindow.print();
}

papers.addEventListener("load", printThem, { once: true });
button.hidden = false;
button.addEventListener("click", printThem);
