// What was entered waits on this phone, in order, each with a key of its own, until the server has said that it is kept.

const BASE = "headstock-waiting";

function opened() {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open(BASE, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("waiting", { keyPath: "number" });
      asked.result.createObjectStore("about");
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
}

function done(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function ended(transaction) {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = transaction.onerror = () => reject(transaction.error);
  });
}

function ownName() {
  return Array.from(crypto.getRandomValues(new Uint8Array(9)), (value) => value.toString(36).padStart(2, "0")).join("");
}

/** Keep an event of a job on this phone; durable when this returns. */
export async function keep(job, event) {
  const base = await opened();
  const transaction = base.transaction(["waiting", "about"], "readwrite", { durability: "strict" });
  const about = transaction.objectStore("about");
  const phone = (await done(about.get("phone"))) ?? ownName();
  const number = ((await done(about.get("last"))) ?? 0) + 1;
  about.put(phone, "phone");
  about.put(number, "last");
  const whole = { ...event, key: `${phone}:${number}`, phone, number };
  transaction.objectStore("waiting").put({ number, job, event: whole });
  await ended(transaction);
  base.close();
  return whole;
}

/** Events of a job that still wait, in the order in which they were entered. */
export async function waiting(job) {
  const base = await opened();
  const found = await done(base.transaction("waiting").objectStore("waiting").getAll());
  base.close();
  return found.filter((one) => one.job === job);
}

async function drop(numbers) {
  const base = await opened();
  const transaction = base.transaction("waiting", "readwrite", { durability: "strict" });
  for (const number of numbers) transaction.objectStore("waiting").delete(number);
  await ended(transaction);
  base.close();
}

const refusedUnder = (job) => `headstock-refused-${job}`;

/** What of a job was refused, by the keys of the entries, until somebody has seen it; whatever is loaded anew meanwhile. */
export function refusedOf(job) {
  return JSON.parse(localStorage.getItem(refusedUnder(job)) ?? "{}");
}

/** Somebody has seen what was refused. */
export function seenRefused(job) {
  localStorage.removeItem(refusedUnder(job));
}

function keepRefused(job, events, refused) {
  const found = refusedOf(job);
  for (const event of events.filter((one) => refused[one.key] !== undefined)) {
    const which = [event.what, event.stage ?? event.device ?? event.place, event.who, event.at.slice(11)];
    found[event.key] = `${which.filter(Boolean).join(", ")}: ${refused[event.key]}`;
  }
  localStorage.setItem(refusedUnder(job), JSON.stringify(found));
}

async function sendAll(job) {
  const there = await waiting(job);
  if (!there.length) return { refused: {}, sent: 0 };
  const answer = await fetch(`/jobs/${encodeURIComponent(job)}/test/events`, {
    method: "POST", headers: { "content-type": "application/json", accept: "application/json" },
    body: JSON.stringify({ events: there.map((one) => one.event) }),
  });
  if (!answer.ok) throw new Error(`not kept: ${answer.status}`);
  const said = await answer.json();
  const settled = new Set([...said.kept, ...Object.keys(said.refused)]);
  if (Object.keys(said.refused).length) keepRefused(job, there.map((one) => one.event), said.refused);
  await drop(there.filter((one) => settled.has(one.event.key)).map((one) => one.number));
  return { refused: said.refused, sent: said.kept.length };
}

/** Send what waits. Dropped here only when the server has answered for it: sent twice it counts once. What it refused is kept
 * as words until somebody has seen them. */
export function send(job) {
  return navigator.locks ? navigator.locks.request(`headstock-${job}`, () => sendAll(job)) : sendAll(job);
}

let behind = Number(localStorage.getItem("headstock-clock") ?? 0);

/** The server's clock, so that phones agree on when something was read. */
export function setClock(text) {
  behind = new Date(text.replace(" ", "T")).getTime() - Date.now();
  localStorage.setItem("headstock-clock", String(behind));
}

export function clock() {
  const now = new Date(Date.now() + behind);
  const two = (value) => String(value).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())} ${two(now.getHours())}:${two(now.getMinutes())}:${two(now.getSeconds())}`;
}

const YES_NO = new Set(["seen", "touched", "is_there"]);

/** A form as an event. */
export function eventOf(form, submitter) {
  const found = { at: clock() };
  for (const [name, value] of new FormData(form, submitter)) {
    if (value === "" || name === "key") continue;
    if (YES_NO.has(name)) found[name] = value === "yes";
    else if (name === "replaces") found.replaces = String(value).split(" ").filter(Boolean);
    else if (name === "of") found.of = Number(value);
    else found[name] = value;
  }
  return found;
}
