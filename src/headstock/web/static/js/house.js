// What every page does: keys, and saying when the server is out of reach.

/** Keys that somebody types into a field mean nothing else. */
export const isTyped = (target) => target instanceof Element && target.closest("input, select, textarea, [contenteditable]");

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || isTyped(event.target)) return;
  if (event.key === "?") { location.assign("/keys"); return; }
  const page = document.querySelector(`nav [data-key="${CSS.escape(event.key)}"]`);
  if (page instanceof HTMLElement) page.click();
});

// A phone shows first what is in hand: what lies open at a desk is folded there, and opens again where there is room.
export const narrow = matchMedia("(max-width: 700px)");
export function fold(within) {
  for (const one of within.querySelectorAll("details.folded")) one.open = !narrow.matches;
}
narrow.addEventListener("change", () => fold(document));
fold(document);

// What an address or a link within the page points at is unfolded, however deep it lies.
function reveal() {
  const target = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (!target) return;
  let opened = false;
  for (let one = target.closest("details"); one; one = one.parentElement.closest("details")) { opened ||= !one.open; one.open = true; }
  if (opened) target.scrollIntoView();
}
addEventListener("hashchange", reveal);
reveal();

const line = document.getElementById("connection");

function say(words) {
  if (!line) return;
  line.textContent = words;
  line.hidden = words === "";
}

const clock = () => new Date().toTimeString().slice(0, 5);
let lostAt = "";

export function lost() {
  lostAt ||= clock();
  document.documentElement.classList.add("told");
  say(`No connection since ${lostAt}. What you see was told then; look again before you act on it.`);
}

export function found() {
  if (!lostAt) return;
  lostAt = "";
  document.documentElement.classList.remove("told");
  say("");
}

addEventListener("offline", lost);
addEventListener("online", found);
document.addEventListener("htmx:error", lost);
document.addEventListener("htmx:after:request", found);

// Whoever signs out leaves no page behind in this browser; what waits to be sent stays.
document.querySelector('form[action="/sign-out"]')?.addEventListener("submit", () => {
  if ("caches" in window) caches.keys().then((names) => names.forEach((name) => caches.delete(name)));
});
