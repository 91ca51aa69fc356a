// Keeps the house and the pages of tests opened before, so that they are there without a connection. Nothing sent is kept here.

const SHELL = "headstock-shell-SHELL_NAME";
const PAGES = "headstock-pages-1";
const KEPT = [/* SHELL_LIST */];
const NOT_KEPT = "/not-kept";
const PATIENCE_MS = 4000;
const OF_A_TEST = /^\/jobs\/[^/]+\/(test|away|test\/look)$/;

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const shell = await caches.open(SHELL);
    await shell.addAll([...KEPT, NOT_KEPT].map((path) => new Request(path, { cache: "reload" })));
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) if (name.startsWith("headstock-shell-") && name !== SHELL) await caches.delete(name);
    await self.clients.claim();
    for (const client of await self.clients.matchAll({ type: "window" })) await keepPage(client.url);
  })());
});

async function keepPage(url) {
  if (!OF_A_TEST.test(new URL(url).pathname)) return;
  try {
    const answer = await fetch(url);
    if (answer.ok && !answer.redirected) await (await caches.open(PAGES)).put(url, answer);
  } catch { /* kept when it is opened next */ }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (request.mode === "navigate") event.respondWith(pageOf(request, url));
  else if (KEPT.includes(url.pathname)) event.respondWith(shellOf(request));
});

function withPatience(promise) {
  return Promise.race([promise, new Promise((_, reject) => setTimeout(() => reject(new Error("no answer")), PATIENCE_MS))]);
}

async function pageOf(request, url) {
  const pages = await caches.open(PAGES);
  try {
    const answer = await withPatience(fetch(request));
    if (OF_A_TEST.test(url.pathname) && answer.ok && !answer.redirected) await pages.put(url.pathname, answer.clone());
    return answer;
  } catch {
    const kept = await pages.match(url.pathname) ?? await caches.match(NOT_KEPT);
    return kept ?? Response.error();
  }
}

async function shellOf(request) {
  try {
    return await withPatience(fetch(request));
  } catch {
    return await caches.match(request, { ignoreSearch: true }) ?? Response.error();
  }
}
