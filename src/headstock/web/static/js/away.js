// Put it away: nothing moves; one plate, held for two seconds. It asks only whether everybody is out.

import { eventOf, keep, send } from "./queue.js";

const HELD_MS = 2000;

/** Plates that must be held, by finger or by key. */
export function holdPlates(act) {
  for (const form of document.querySelectorAll("form.back")) {
    const plate = form.querySelector("button");
    form.querySelector(".hold").hidden = false;
    let timer = 0;
    const begin = () => { timer ||= setTimeout(() => { timer = 0; act(form); }, HELD_MS); };
    const end = () => { clearTimeout(timer); timer = 0; };
    plate.type = "button";
    plate.addEventListener("pointerdown", begin);
    for (const name of ["pointerup", "pointercancel", "pointerleave", "blur"]) plate.addEventListener(name, end);
    plate.addEventListener("contextmenu", (event) => event.preventDefault());
    plate.addEventListener("keydown", (event) => { if (event.key === "Enter" || event.key === " ") { event.preventDefault(); begin(); } });
    plate.addEventListener("keyup", end);
  }
}

const page = document.querySelector(".away-page #away");

if (page) {
  const job = page.dataset.job;
  const back = () => location.replace(`/jobs/${encodeURIComponent(job)}/test`);
  const people = page.querySelectorAll("form.back").length;
  holdPlates(async (form) => {
    await keep(job, eventOf(form));
    try { await send(job); } catch { /* it waits on this phone and goes when the connection is back */ }
    back();
  });
  setInterval(async () => {
    try {
      const said = await (await fetch(`/jobs/${encodeURIComponent(job)}/test/state`)).json();
      if (said.between === 0) back();
      else if (said.between !== people) location.reload();
    } catch { /* it stays put away */ }
  }, 2000);
}
