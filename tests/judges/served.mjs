// A site as a static host serves it, and the largest page of each kind: for the judges that open pages.
import { createServer } from "node:http";
import { existsSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";

export const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
export const ARGS = ["--no-sandbox", "--disable-dev-shm-usage"];
const TYPES = {
  html: "text/html; charset=utf-8", css: "text/css; charset=utf-8", js: "text/javascript; charset=utf-8", svg: "image/svg+xml", png: "image/png", jpg: "image/jpeg",
  json: "application/json", csv: "text/csv; charset=utf-8", xml: "application/xml", ics: "text/calendar; charset=utf-8",
};

/** Serves the site below a path, and 404.html for all that is not there. */
export async function serve(site, base) {
  const server = createServer((request, response) => {
    const path = decodeURIComponent(new URL(request.url, "http://x").pathname);
    let file = path.startsWith(base) ? join(site, path.slice(base.length)) : null;
    if (file && existsSync(file) && statSync(file).isDirectory()) file = join(file, "index.html");
    const isThere = file && file.startsWith(site) && existsSync(file);
    if (!isThere) file = join(site, "404.html");
    response.writeHead(isThere ? 200 : 404, { "content-type": TYPES[file.split(".").at(-1)] ?? "application/octet-stream" });
    response.end(readFileSync(file));
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  return { origin: `http://127.0.0.1:${server.address().port}`, close: () => server.close() };
}

/** The largest page of each kind. */
export function kinds(site, pages) {
  const largest = new Map();
  for (const path of pages) {
    const parts = path.split("/");
    let kind = parts[0];
    if (kind === "journal") kind = `journal, ${parts.length - 1} deep`;
    else if (parts.length > 2) kind = `${kind}, one of them`;
    const size = statSync(join(site, path)).size;
    if (!largest.has(kind) || statSync(join(site, largest.get(kind))).size < size) largest.set(kind, path);
  }
  return [...largest.values()];
}

/** How far what is shown has jumped so far. */
export const shift = (page) => page.evaluate(() => new Promise((give) => {
  let sum = 0;
  new PerformanceObserver((list) => {
    for (const one of list.getEntries()) if (!one.hadRecentInput) sum += one.value;
  }).observe({ type: "layout-shift", buffered: true });
  setTimeout(() => give(sum), 100);
}));
