// The client's screen: when the stream names another version, the page fetches itself and shows what it says now.
const place = () => document.getElementById("showing");
let fetching = false;
async function bring() {
  if (fetching) return;
  fetching = true;
  try {
    const answer = await fetch(location.href, { cache: "no-store" });
    if (!answer.ok) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.getElementById("showing");
    if (fresh) place().replaceWith(document.adoptNode(fresh));
  } finally { fetching = false; }
}
const stream = new EventSource(place().dataset.events);
stream.addEventListener("change", (event) => { if (event.data !== place().dataset.version) bring(); });
