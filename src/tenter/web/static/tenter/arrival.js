// Counts the settling time down on the page; without scripts the page shows it each time it is opened.
const timer = document.querySelector(".timer[data-left]");
if (timer && !timer.hidden) {
  const end = performance.now() + 1000 * Number(timer.dataset.left);
  const tick = () => {
    const left = Math.max(0, Math.round((end - performance.now()) / 1000));
    timer.querySelector(".left").textContent = `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`;
    if (left === 0) {
      clearInterval(running);
      timer.hidden = true;
      document.querySelector(".settled").hidden = false;
    }
  };
  const running = setInterval(tick, 500);
  tick();
}
