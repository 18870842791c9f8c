// The address bar follows the page, so that a reload or a bookmark brings it back; no entry in the history.

const SETTLES_MS = 400;
let timer = 0;

export default function ({ data }) {
  const address = data?.address;
  if (!address) return;
  clearTimeout(timer);
  timer = setTimeout(() => {
    if (window.location.search !== address) window.history.replaceState(window.history.state, "", address);
  }, SETTLES_MS);
}
