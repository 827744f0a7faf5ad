// What was looked at once is there without a network, too. The network always comes first: what is kept is only shown
// where the host does not answer, and then says of which day it is. Nothing of other hosts is touched.
"use strict";

const ROOM = `kept ${registration.scope}`;
const MOST = 400;
const PATIENCE_MS = 8000;

addEventListener("install", (event) => event.waitUntil(skipWaiting()));
addEventListener("activate", (event) => event.waitUntil(clients.claim()));
addEventListener("message", (event) => event.waitUntil(Promise.all(event.data.filter(isOurs).map((url) => fresh(url).catch(() => {})))));
addEventListener("fetch", (event) => {
  if (event.request.method === "GET" && isOurs(event.request.url)) event.respondWith(answer(event));
});

function isOurs(url) {
  return url.startsWith(registration.scope);
}

/** A folder is its first page, and a part of a page is the page. */
function named(url) {
  const { origin, pathname } = new URL(url);
  return origin + pathname + (pathname.endsWith("/") ? "index.html" : "");
}

async function answer(event) {
  const new_ = fresh(event.request);
  event.waitUntil(new_.catch(() => {}));
  const old = await (await caches.open(ROOM)).match(named(event.request.url));
  if (!old) return new_;
  const waited = new Promise((give) => setTimeout(give, PATIENCE_MS));
  const first = await Promise.race([new_.catch(() => null), waited]);
  return first ?? told(old);
}

/** From the host, not from the browser's own store, and kept. */
async function fresh(request) {
  const url = named(request.url ?? request);
  const got = await fetch(request, { cache: "no-cache" });
  const room = await caches.open(ROOM);
  if (got.status === 404 || got.status === 410) await room.delete(url);
  if (got.status === 200 && !got.redirected) {
    const copy = got.clone();
    await room.delete(url);
    await room.put(url, copy);
    const kept = await room.keys();
    await Promise.all(kept.slice(0, Math.max(0, kept.length - MOST)).map((old) => room.delete(old)));
  }
  return got;
}

/** A kept page with the day on which it was fetched; other files as they are. */
async function told(old) {
  if (!(old.headers.get("content-type") ?? "").startsWith("text/html")) return old;
  const page = await old.text();
  const language = /<html lang="([^"]+)"/.exec(page)?.[1];
  const date = Date.parse(old.headers.get("date") ?? "");
  const day = Number.isNaN(date) ? "" : new Date(date).toLocaleDateString(language, { day: "numeric", month: "long", year: "numeric" });
  const said = page.replace('<p class="kept" hidden>', '<p class="kept">').replace('<span class="fetched"></span>', `<span class="fetched">${day}</span>`);
  return new Response(said, { headers: { "content-type": "text/html; charset=utf-8" } });
}
