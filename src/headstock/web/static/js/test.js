// The brake test on a phone: one mark a tap, entries kept here first and sent when the server can be reached.

import { found, lost } from "./house.js";
import { eventOf, keep, refusedOf, seenRefused, send, setClock, waiting } from "./queue.js";
import { holdPlates } from "./away.js";

const page = document.getElementById("test");
const job = page?.dataset.job ?? "";
let at = Number(page?.dataset.at || 0);

if ("serviceWorker" in navigator) navigator.serviceWorker.register("/service-worker.js").catch(() => {});

function sections() { return [...document.querySelectorAll("section.stage")]; }

function sectionOf(key) { return sections().find((one) => one.dataset.stage === key); }

function show(number) {
  at = number;
  for (const section of sections()) section.hidden = Number(section.dataset.number) !== number;
  const count = document.getElementById("stage-number");
  const total = sections().filter((one) => one.dataset.stage).length + Number(page.dataset.at || 0);
  if (count) count.textContent = number < total ? `stage ${number + 1} of ${total}` : `all ${total} stages`;
}

// One mark a tap. The first tap stands just outside the limit; what lies between marks is typed.
function mark(section, by) {
  const entry = section.querySelector(".entry");
  const input = entry?.querySelector("input[name=shows]");
  if (!input || !entry.dataset.figures) return;
  const figures = entry.dataset.figures.split(" ");
  const nearest = () => figures.reduce((best, value, place) =>
    Math.abs(Number(value) - Number(input.value)) < Math.abs(Number(figures[best]) - Number(input.value)) ? place : best, 0);
  const place = input.value === "" ? Number(entry.dataset.begins) : nearest() + by;
  input.value = figures[Math.min(Math.max(place, 0), figures.length - 1)];
  wedge(section);
}

function wedge(section) {
  const staff = section.querySelector("svg.staff");
  const entry = section.querySelector(".entry");
  const input = entry?.querySelector("input[name=shows]");
  if (!staff || !entry?.dataset.figures || !input) return;
  const figures = entry.dataset.figures.split(" ").map(Number);
  const { first, last, edge, step } = staff.dataset;
  const sign = staff.querySelector(".wedge");
  sign.setAttribute("visibility", input.value === "" ? "hidden" : "visible");
  const exact = (Number(input.value) - figures[0]) / (figures[1] - figures[0]);
  const shown = Math.min(Math.max(exact, Number(first)), Number(last));
  sign.setAttribute("transform", `translate(${Number(edge) + (shown - Number(first)) * Number(step)} 0)`);
}

// Without a connection nothing is judged here: whether a mark lies between the brackets is read off the staff, as an eye would.
function bracketWords(section, shows) {
  const { low, high, known } = section.dataset;
  if (!known || shows === undefined) return "";
  const value = Number(shows);
  return (!low || value >= Number(low)) && (!high || value <= Number(high))
    ? "Between the brackets of the staff. " : "Outside the brackets of the staff. Hold the train first, everywhere, on the level too. ";
}

function keptHere(event) {
  const section = sectionOf(event.stage);
  if (!section) return;
  if (event.what === "done") { show(Number(section.dataset.number) + 1); return; }
  const place = section.querySelector(".written");
  if (!place || !["reading", "cannot read"].includes(event.what)) return;
  const what = event.what === "cannot read" ? "Cannot be read"
    : event.seen === undefined ? `${event.shows} ${event.unit ?? ""}` : event.seen ? "As it must be" : "Not as it must be";
  const words = document.createElement("div");
  words.className = "kept-here";
  const head = document.createElement("p");
  head.className = "verdict";
  head.textContent = `${what}, kept on this phone`;
  const rest = document.createElement("p");
  rest.textContent = `${event.who}, ${event.at.slice(11)}. ${bracketWords(section, event.shows)}It is judged when the connection is back.`;
  words.append(head, rest);
  place.replaceChildren(words);
  place.hidden = false;
  for (const form of section.querySelectorAll("form.give, form.cannot, .write")) form.hidden = true;
  const on = section.querySelector("form.go-form");
  if (on) on.hidden = false;
}

async function showWaiting() {
  const there = (await waiting(job)).map((one) => one.event);
  for (const event of there) if (event.test === page.dataset.test) keptHere(event);
  const line = document.getElementById("waiting");
  line.hidden = there.length === 0;
  line.textContent = there.length
    ? `${there.length} ${there.length === 1 ? "entry waits" : "entries wait"} on this phone, told and not yet on record. They go by themselves when the connection is back.` : "";
  return there.length;
}

function showRefused() {
  const words = Object.values(refusedOf(job));
  const place = document.getElementById("not-taken");
  if (!place) return;
  place.querySelector("ul").replaceChildren(...words.map((one) => Object.assign(document.createElement("li"), { textContent: one })));
  place.hidden = words.length === 0;
}

async function goOn() {
  try {
    const said = await send(job);
    found();
    if (said.sent || Object.keys(said.refused).length) location.reload();
    else await showWaiting();
  } catch {
    lost();
    await showWaiting();
  }
}

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || !form.matches("form.queued")) return;
  event.preventDefault();
  if (form.dataset.sent) return;
  form.dataset.sent = "yes";
  try {
    await keep(job, eventOf(form, event.submitter));
  } catch {
    form.submit();
    return;
  } finally {
    delete form.dataset.sent;
  }
  await goOn();
});

for (const section of sections()) {
  for (const [name, by] of [["less", -1], ["more", 1]]) {
    const plate = section.querySelector(`.entry .${name}`);
    if (!plate || !section.querySelector(".entry").dataset.figures) continue;
    plate.hidden = false;
    plate.addEventListener("click", () => mark(section, by));
  }
  section.querySelector(".entry input[name=shows]")?.addEventListener("input", () => wedge(section));
  wedge(section);
}

document.addEventListener("keydown", (event) => {
  const by = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1 }[event.key];
  const section = sections().find((one) => !one.hidden);
  if (!by || !section || event.ctrlKey || event.metaKey || event.altKey) return;
  const aim = event.target;
  if (aim instanceof Element && aim.closest("select, textarea, input[type=text]")) return;
  if (!section.querySelector("form.give:not([hidden]) .entry")) return;
  event.preventDefault();
  mark(section, by);
});

const isEntering = () => sections().some((one) => !one.hidden && one.querySelector("form.give:not([hidden]) input[name=shows]")?.value)
  || document.querySelector(".test details[open]") !== null;

async function ask() {
  try {
    const answer = await fetch(`/jobs/${encodeURIComponent(job)}/test/state`, { headers: { accept: "application/json" } });
    if (!answer.ok) throw new Error(String(answer.status));
    const said = await answer.json();
    found();
    setClock(said.clock);
    if ((await waiting(job)).length) { await goOn(); return; }
    const isOther = said.between !== Number(page.dataset.between);
    if (isOther || (said.version !== page.dataset.version && !isEntering())) location.reload();
  } catch {
    lost();
  }
}

if (page) {
  document.querySelector("#not-taken button")?.addEventListener("click", () => { seenRefused(job); showRefused(); });
  addEventListener("storage", showRefused);
  showRefused();
  await showWaiting();
  addEventListener("online", ask);
  setInterval(ask, 2000);
  await ask();
  holdPlates(async (form) => { await keep(job, eventOf(form)); await goOn(); });
}
