// A job's page: n and b move the lamp from block to block, the drawings follow; arrows walk an end part by part.

import { fold, isTyped, narrow } from "./house.js";

async function follow(id, block) {
  const holder = document.getElementById(id);
  if (!holder) return;
  const answer = await fetch(`${holder.dataset.part}?block=${block}`, { headers: { "HX-Request": "true" } });
  if (!answer.ok || document.querySelector(".block.lamp")?.dataset.block !== String(block)) return;
  const open = [...holder.querySelectorAll("details")].map((one) => one.open);
  holder.innerHTML = await answer.text();
  const known = open.length > 0;
  if (!known) fold(holder);
  holder.querySelectorAll("details").forEach((one, place) => { if (known) one.open = open[place] ?? one.open; });
}

function light(block) {
  const blocks = document.querySelectorAll(".block");
  const next = document.getElementById(`block-${block}`);
  if (!next) return;
  for (const one of blocks) {
    const number = Number(one.dataset.block);
    one.classList.toggle("lamp", one === next);
    one.classList.toggle("done", number < block);
    if (one === next) one.setAttribute("aria-current", "step"); else one.removeAttribute("aria-current");
  }
  document.getElementById("lamp-number").textContent = String(block);
  const job = document.querySelector(".blocks").dataset.job;
  document.getElementById("stop-plate").href = `${job}/stop?after=${next.dataset.done}`;
  document.getElementById("hand-over-link").href = `${job}/hand-over?after=${next.dataset.done}`;
  for (const [id, number] of [["back-plate", block - 1], ["next-plate", block + 1]]) {
    const plate = document.getElementById(id);
    plate.href = `${job}?block=${number}#block-${number}`;
    plate.hidden = number < 1 || number > blocks.length;
  }
  history.replaceState(null, "", `${job}?block=${block}`);
  next.focus({ preventScroll: true });
  next.scrollIntoView({ block: narrow.matches ? "start" : "nearest" });
  follow("train-part", block);
  follow("ends-part", block);
}

const lit = () => Number(document.querySelector(".block.lamp")?.dataset.block ?? 0);

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || isTyped(event.target)) return;
  if (event.key === "n") light(lit() + 1);
  if (event.key === "b") light(lit() - 1);
  const here = event.target instanceof Element ? event.target.closest("a.part") : null;
  const way = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
  if (here && way) {
    const parts = [...here.closest("svg").querySelectorAll("a.part")];
    parts[(parts.indexOf(here) + way + parts.length) % parts.length].focus();
    event.preventDefault();
  }
});

document.addEventListener("click", (event) => {
  const link = event.target instanceof Element ? event.target.closest(".block h3 a, #back-plate, #next-plate") : null;
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  light(Number(link.hash.replace("#block-", "")));
});

// A link to a part that lies folded opens it, also a second time.
document.addEventListener("click", (event) => {
  const link = event.target instanceof Element ? event.target.closest(".parts a[href^='#'], .head-answer a[href^='#']") : null;
  const folded = link && document.querySelector(`${link.hash} > details.folded`);
  if (folded) folded.open = true;
});

// A part of the train that is not at the joint lies folded away: open what it leads to.
function unfold() {
  const row = location.hash.startsWith("#about-") && document.getElementById(location.hash.slice(1));
  if (!row) return;
  const folded = row.closest("details");
  if (folded) folded.open = true;
  row.scrollIntoView({ block: "center" });
}
addEventListener("hashchange", unfold);
unfold();

// Once the order of work is there, what rests on it is asked for.
document.addEventListener("htmx:after:swap", () => {
  if (!document.querySelector("#order .blocks")) return;
  if (!document.querySelector("#train-part .pipes")) { follow("train-part", lit()); follow("ends-part", lit()); }
  for (const later of document.querySelectorAll("[data-after-order]")) {
    const place = later.dataset.afterOrder;
    delete later.dataset.afterOrder;
    window.htmx.ajax("GET", place, { target: later, swap: "outerHTML" });
  }
  for (const name of ["joined", "forecast"]) {
    const arrived = document.querySelector(`#${name}:not([data-met])`);
    if (!arrived?.querySelector("details.folded")) continue;
    arrived.dataset.met = "";
    fold(arrived);
  }
});
for (const name of ["joined", "forecast"]) {
  if (document.querySelector(`#${name} > details.folded`)) document.getElementById(name).dataset.met = "";
}
