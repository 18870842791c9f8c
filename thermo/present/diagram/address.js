// The address bar follows the page, so that a reload or a bookmark brings it back. Each step of the page's own trail is
// one entry of the browser's history; Back and Forward tell the server which address they reached.

const SETTLES_MS = 350;
const KEYBOARD = '[class*="st-key-box_"] input, .st-key-t_C input';
const seen = { session: null, place: -1, timer: 0, tell: null, waiting: null, path: null, watched: null, hello: null, crossed: false };

function follow() {
  clearTimeout(seen.timer);
  if (!seen.waiting) return;
  const { address, place, session } = seen.waiting;
  seen.waiting = null;
  const state = window.history.state;
  if (window.location.search === address) {
    seen.crossed = false;
    seen.place = place;
    return;
  }
  // An entry that Back or Forward to another page has reached is kept, with what has changed since: a new one in its place
  // would cut off the way forward.
  const onward = session === seen.session && place > seen.place && !seen.crossed;
  seen.crossed = false;
  if (onward) window.history.pushState(state, "", address);
  else window.history.replaceState(state, "", address);
  seen.session = session;
  seen.place = place;
}

// Caught before Streamlit's own handler, which would run the script a second time at once with the boxes as they were.
function wentBack(event) {
  clearTimeout(seen.timer);
  seen.waiting = null;
  seen.crossed = window.location.pathname !== seen.path;
  if (seen.crossed || !window.location.search || !seen.tell) return;
  event.stopImmediatePropagation();
  seen.tell(window.location.search);
}

window.addEventListener("popstate", wentBack, true);

// A server started anew knows nothing of this page. Asking it for a run as soon as it is back, before anybody types, keeps
// the first edit after that from being lost: the page comes back from its address at once.
function watchConnection() {
  const app = document.querySelector(".stApp");
  if (!app || seen.watched === app) return;
  seen.watched = app;
  let lost = false;
  new MutationObserver(() => {
    const connected = app.dataset.testConnectionState === "CONNECTED";
    if (connected && lost) seen.hello?.();
    lost = !connected;
  }).observe(app, { attributeFilter: ["data-test-connection-state"] });
}

export default function ({ data, setTriggerValue }) {
  if (!data?.address) return;
  seen.path = window.location.pathname;
  seen.tell = (address) => setTriggerValue("back", address);
  seen.hello = () => setTriggerValue("hello", String(Date.now()));
  if (seen.session && seen.session !== data.session) setTriggerValue("restarted", data.session);
  watchConnection();
  if (seen.session !== data.session) {
    seen.session = data.session;
    seen.place = data.place;
  }
  if (seen.waiting && seen.waiting.place !== data.place) follow(); // a step of its own, however quickly the next came
  clearTimeout(seen.timer);
  seen.waiting = data;
  seen.timer = setTimeout(follow, SETTLES_MS);
  for (const box of document.querySelectorAll(KEYBOARD)) box.inputMode = "decimal";
}
