// Whether something may come from the studio's devices by now. A page that was opened before asks when it is turned to, or
// when the devices' page in this browser tells of a change; by itself only as long as the server says when.
const TOLD = "tenter-devices"; // what the devices' page saw last, in this browser
const FIRST = 10000; // milliseconds
const SOON = 50; // so that turning to a page, which is told twice, asks once

export const tell = (version) => localStorage.setItem(TOLD, version);

export function whenComing(address, what, begin) {
  const over = new AbortController();
  let waiting = 0;
  const soon = () => { clearTimeout(waiting); waiting = setTimeout(ask, SOON); };
  async function ask() {
    if (document.visibilityState !== "visible") return; // turning to it asks
    try {
      const answer = await fetch(address, { cache: "no-store", headers: { Accept: "application/json" }, redirect: "error" });
      const now = answer.ok ? await answer.json() : {};
      if (over.signal.aborted) return;
      if (now[what]) {
        over.abort();
        begin();
      } else if (now.again) {
        clearTimeout(waiting);
        waiting = setTimeout(ask, now.again);
      }
    } catch { /* the server is away; turning to the page asks again */ }
  }
  waiting = setTimeout(ask, FIRST);
  addEventListener("focus", soon, over);
  document.addEventListener("visibilitychange", soon, over);
  addEventListener("storage", (change) => { if (change.key === TOLD) soon(); }, over);
}
