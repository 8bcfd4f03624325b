// Tells this browser's other pages when the network is switched, and when a device comes or goes.
import { tell } from "./coming.js";

const say = () => tell(document.getElementById("connected").dataset.version);
new MutationObserver(say).observe(document.querySelector("main"), { childList: true, subtree: true });
say();
