// A sitting's page: the clock and gauges as they move, the rest when something happened. Forms work without this.

const part = document.getElementById("part");
const place = part?.dataset.part ?? "";
let seen = Number(part?.dataset.change ?? 0);
let busy = false;
const SIGNED_OUT = 4401;

const two = (value) => String(Math.floor(value)).padStart(2, "0");
const clock = (t) => `${two(t / 3600)}:${two((t % 3600) / 60)}:${two(t % 60)}`;

function put(html) {
  const active = document.activeElement;
  const mark = active instanceof HTMLButtonElement ? [active.name, active.value] : null;
  const open = [...part.querySelectorAll("details")].map((one) => one.open);
  part.innerHTML = html;
  part.querySelectorAll("details").forEach((one, number) => { one.open = open[number] ?? false; });
  if (mark) {
    const same = [...part.querySelectorAll("button")].find((one) => one.name === mark[0] && one.value === mark[1]);
    same?.focus({ preventScroll: true });
  }
}

const typing = () => part.contains(document.activeElement) && ["INPUT", "SELECT"].includes(document.activeElement.tagName);

async function fetched() {
  if (busy || typing()) return;
  busy = true;
  try {
    const answer = await fetch(place, { headers: { "hx-request": "true" } });
    if (answer.ok) put(await answer.text());
  } catch {
    document.dispatchEvent(new Event("htmx:error"));
  } finally {
    busy = false;
  }
}

// What is not known to have come through is said where it was given, and stays in its fields.
function unsent(form) {
  part.querySelectorAll(".unsent").forEach((one) => one.remove());
  const frame = document.createElement("div");
  frame.className = "answer no unsent";
  frame.setAttribute("role", "alert");
  for (const [name, words] of [["verdict", "Not sent"], ["", "There is no connection. See how it stands when there is one, then do it again."]]) {
    const line = document.createElement("p");
    line.className = name;
    line.textContent = words;
    frame.append(line);
  }
  form.before(frame);
  frame.scrollIntoView({ block: "nearest" });
}

part?.addEventListener("submit", async (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || !form.hasAttribute("data-act")) return;
  event.preventDefault();
  const body = new URLSearchParams(new FormData(form, event.submitter));
  const sent = fetch(form.action, { method: "POST", body, headers: { "hx-request": "true" } });
  const answered = await sent.then((answer) => answer.text()).catch(() => null);
  if (answered === null) {
    document.dispatchEvent(new Event("htmx:error"));
    unsent(form);
    return;
  }
  document.activeElement?.blur();
  put(answered);
  // What came of it stands at the top: on a phone the finger is far below.
  part.querySelector("[role=status], [role=alert]")?.scrollIntoView({ block: "nearest" });
});

function shown(update) {
  const face = document.getElementById("clock");
  if (face) face.textContent = clock(update.t);
  (update.gauges ?? []).forEach((bar, number) => {
    const figure = document.getElementById(`gauge-${number}`);
    const wedge = document.getElementById(`wedge-${number}`);
    const staff = wedge?.closest("svg");
    if (figure && staff) figure.textContent = (bar * Number(staff.dataset.perBar)).toFixed(Number(staff.dataset.decimals));
    if (wedge && staff) {
      const x = (1000 * (bar - Number(staff.dataset.low))) / Number(staff.dataset.span);
      wedge.setAttribute("transform", `translate(${x.toFixed(1)} 0)`);
    }
  });
  (update.brakes ?? []).forEach((on, number) => {
    const block = document.getElementById(`block-${number}`);
    if (block) block.textContent = on ? "on the wheels" : "off";
  });
  if (update.change !== seen) {
    seen = update.change;
    fetched();
  }
}

let last = null;
let waiting = false;

function listen() {
  const where = `${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/sittings/${part.dataset.code}/live?role=${encodeURIComponent(part.dataset.role)}`;
  const socket = new WebSocket(where);
  socket.addEventListener("message", (message) => {
    last = { ...last, ...JSON.parse(message.data) }; // what has not moved is not sent again
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => { waiting = false; shown(last); });
  });
  socket.addEventListener("open", () => { document.dispatchEvent(new Event("htmx:after:request")); });
  socket.addEventListener("close", (event) => {
    if (event.code === SIGNED_OUT) location.reload();
    if (event.code >= 4400) return;
    document.dispatchEvent(new Event("htmx:error"));
    setTimeout(again, 1000);
  });
}

// Whose session ended while there was no connection is refused one without a reason that a page could read; the page itself says it.
async function again() {
  const answer = await fetch(place, { headers: { "hx-request": "true" } }).catch(() => null);
  if (answer?.status === 401) location.reload();
  else listen();
}

if (part) listen();
