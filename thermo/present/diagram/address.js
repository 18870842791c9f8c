// The address bar follows the page, so that a reload or a bookmark brings it back. Each step of the page's own trail is
// one entry of the browser's history; Back and Forward tell the server which address they reached.

const SETTLES_MS = 350;
const KEYBOARD = '[class*="st-key-box_"] input, .st-key-t_C input';
const seen = { session: null, place: -1, timer: 0, tell: null };

function follow({ address, place, session }) {
  const state = window.history.state;
  if (window.location.search === address) {
    seen.place = place;
    return;
  }
  const onward = session === seen.session && place > seen.place;
  if (onward) window.history.pushState(state, "", address);
  else window.history.replaceState(state, "", address);
  seen.session = session;
  seen.place = place;
}

window.addEventListener("popstate", () => {
  clearTimeout(seen.timer);
  if (window.location.search) seen.tell?.(window.location.search);
});

export default function ({ data, setTriggerValue }) {
  if (!data?.address) return;
  seen.tell = (address) => setTriggerValue("back", address);
  if (seen.session && seen.session !== data.session) document.body.dataset.newServer = "yes";
  if (seen.session === null) {
    seen.session = data.session;
    seen.place = data.place;
  }
  clearTimeout(seen.timer);
  seen.timer = setTimeout(() => follow(data), SETTLES_MS);
  for (const box of document.querySelectorAll(KEYBOARD)) box.inputMode = "decimal";
}
