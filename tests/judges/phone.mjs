// Judges what a phone does with the pages in Debian's Chromium, beyond showing them: jobs that are ticked become a note,
// which `trug jot --from` files and which makes them go; names, titles and words are
// found; and a page that was looked at is there without a network, says
// of which day it is, and never hides a newer one of the host.
import { createServer } from "node:http";
import { execFileSync, spawnSync } from "node:child_process";
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { Verdict, files } from "./verdict.mjs";

const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
const TRUG = resolve(process.env.TRUG ?? "target/debug/trug");
const TYPES = { html: "text/html; charset=utf-8", css: "text/css", js: "text/javascript", svg: "image/svg+xml", webp: "image/webp", jpg: "image/jpeg", woff2: "font/woff2" };

const site = resolve(process.argv[2]);
const content = resolve(process.argv[3]);
const garden = JSON.parse(readFileSync(join(site, "garden.json"), "utf8"));
const on = garden.on;
const verdict = new Verdict("phone", "jobs ticked", "jobs gone", "things found", "pages without a network", "pages newer than what was kept");
const room = mkdtempSync(join(tmpdir(), "trug-phone-"));

/** Serves the site below a path; `newer` takes the place of single files. */
async function serve(base, newer) {
  const server = createServer((request, response) => {
    const path = decodeURIComponent(new URL(request.url, "http://x").pathname);
    let file = join(site, path.slice(base.length));
    if (existsSync(file) && statSync(file).isDirectory()) file = join(file, "index.html");
    if (!path.startsWith(base) || !file.startsWith(site) || !existsSync(file)) return response.writeHead(404).end();
    // A host that lets browsers keep a page for an hour: the worker has to ask all the same.
    response.writeHead(200, { "content-type": TYPES[file.split(".").at(-1)] ?? "application/octet-stream", "cache-control": "max-age=3600" });
    response.end(newer.get(file) ?? readFileSync(file));
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  return { address: `http://127.0.0.1:${server.address().port}${base}`, close: () => (server.closeAllConnections(), server.close()) };
}

const jobs = (page) => page.$$eval(".today .day-jobs > [data-key], section .day-jobs > [data-key]", (rows) =>
  rows.filter((row) => !row.closest("details")).map((row) => ({ key: row.dataset.key, whom: row.dataset.whom })));
const note = (page) => page.$eval(".note [data-part=text]", (text) => text.textContent);

/** Ticks everything that is due, on two pages and two days; files the note; and looks at the site that comes of it. */
async function ticked(browser, address, label) {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, serviceWorkers: "block" });
  const page = await context.newPage();
  await page.clock.setFixedTime(new Date(`${on}T12:00:00`));
  await page.goto(`${address}index.html`);
  const due = await jobs(page);
  if (due.length < 2) return context.close();
  verdict.demand(!(await page.isVisible(".note")), `${label}: a note stands there before anything is ticked`);
  await page.check(".today .at-place .day-jobs > [data-key] input[type=checkbox] >> nth=0");
  const first = await note(page);
  verdict.demand(first.startsWith(`${on}\n${due[0].key}: `), `${label}: the first tick says ${first}`);
  // What was ticked on one page is ticked on the other, where the two share what a browser keeps.
  await page.goto(`${address}tasks/index.html`);
  verdict.demand(await page.isChecked("section .day-jobs > [data-key] input[type=checkbox] >> nth=0"), `${label}: the tick is not on the tasks page`);
  for (const box of await page.$$("section .at-place .day-jobs > [data-key] input[type=checkbox]")) {
    if (await box.isVisible()) await box.check();
  }
  await page.click(".note > summary");
  await page.fill(".note [data-part=prose]", "Warm: a good day.");
  await page.reload();
  const text = await note(page);
  verdict.demand(text.endsWith("\n\nWarm: a good day.\n"), `${label}: the prose is lost: ${text}`);
  verdict.saw("jobs ticked", due.length);
  filed(text, due, label);
  await page.click(".note > summary");
  await page.click(".note [data-part=clear]");
  verdict.demand(!(await page.isVisible(".note")), `${label}: a cleared note stands there`);
  verdict.demand((await page.$$(".day-jobs input:checked")).length === 0, `${label}: ticks are left when the note is cleared`);
  await context.close();
}

function filed(text, due, label) {
  const folder = mkdtempSync(join(room, "garden-"));
  cpSync(content, join(folder, "content"), { recursive: true });
  writeFileSync(join(folder, "note.txt"), text);
  const jot = spawnSync(TRUG, ["jot", "--from", "note.txt", "--on", on], { cwd: folder, encoding: "utf8" });
  verdict.demand(jot.status === 0, `${label}: trug jot --from says ${jot.status}: ${jot.stdout}${jot.stderr} of\n${text}`);
  if (jot.status !== 0) return;
  execFileSync(TRUG, ["publish", "--on", on, "--site", "after"], { cwd: folder, stdio: "ignore" });
  const home = readFileSync(join(folder, "after/index.html"), "utf8");
  const open = new Set([...home.matchAll(/data-key="([^"]*)" data-whom="([^"]*)"/g)].map(([, key, whom]) => `${key}: ${whom}`));
  for (const { key, whom } of due) {
    const isGone = !open.has(`${key}: ${whom}`);
    verdict.demand(isGone, `${label}: ${key}: ${whom.replaceAll("\n", ", ")} was ticked and filed, and is still asked for`);
    if (isGone) verdict.saw("jobs gone");
  }
}

/** A crop, an entry of the last year by a word of its title, and one of the first year are found, and lead to their pages. */
async function found(browser, address, label) {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, serviceWorkers: "block" });
  const page = await context.newPage();
  const titled = (path) => ({ path, title: /<h1[^>]*>(?:<bdi>)?([^<]*)/.exec(readFileSync(join(site, path), "utf8"))[1] });
  const pages = files(site).filter((path) => /^journal\/\d+\/\d+\/[^/]+\/index\.html$/.test(path)).map(titled);
  const entries = pages.filter(({ title }) => /^[\p{L} ]{4,}$/u.test(title));
  const crop = files(site).find((path) => /^crops\/[^/]+\/index\.html$/.test(path));
  const wanted = [entries[0], entries.at(-1), crop && titled(crop)];
  for (const one of wanted.filter(Boolean)) {
    await page.goto(`${address}letters/index.html`);
    const asked = one.title.toUpperCase();
    await page.fill(".search input", asked);
    // Another name of a crop leads there as well.
    const link = page.locator(`.search li a[href$="/${one.path}"]`).first();
    const isThere = await link.waitFor({ timeout: 5000 }).then(() => true, () => false);
    if (!verdict.demand(isThere, `${label}: the search does not find ${asked}`)) continue;
    await link.click();
    verdict.demand(page.url().endsWith(one.path), `${label}: ${asked} leads to ${page.url()}`);
    verdict.saw("things found");
  }
  await page.goto(`${address}letters/index.html`);
  await page.fill(".search input", "zzqx");
  verdict.demand(await page.locator(".search [data-part=none]").waitFor({ timeout: 5000 }).then(() => true, () => false), `${label}: nothing found, and nothing said`);
  await context.close();
}

async function offline(browser) {
  const newer = new Map();
  const server = await serve("/sub/", newer);
  const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
  const page = await context.newPage();
  await page.goto(`${server.address}calendar/index.html`);
  await page.waitForFunction(() => navigator.serviceWorker.controller);
  const kept = (path) => page.evaluate(async (url) => Boolean(await caches.match(url)), `${server.address}${path}`);
  for (let tries = 0; tries < 100 && !((await kept("tasks/index.html")) && (await kept("calendar/index.html"))); tries++) await page.waitForTimeout(50);
  // The host has something new: it is shown at once, although the browser could use what it has.
  const file = join(site, "calendar/index.html");
  newer.set(file, readFileSync(file, "utf8").replace("<h1>", "<h1>Newer "));
  await page.reload();
  verdict.demand((await page.innerText("h1")).startsWith("Newer "), "a kept page hides a newer one of the host");
  verdict.demand(!(await page.isVisible(".kept")), "a page of the host says that it is a kept one");
  verdict.saw("pages newer than what was kept");
  // It is kept a moment after it is shown.
  const keptNewer = () => page.evaluate(async (url) => (await (await caches.match(url))?.text())?.includes("<h1>Newer "), `${server.address}calendar/index.html`);
  for (let tries = 0; tries < 100 && !(await keptNewer()); tries++) await page.waitForTimeout(50);
  await context.setOffline(true);
  server.close();
  for (const path of ["calendar/index.html", "index.html", "tasks/"]) {
    await page.goto(`${server.address}${path}`);
    const said = await page.innerText(".kept");
    verdict.demand(/\d{4}/.test(said) && (await page.isVisible(".kept")), `${path} without a network does not say of which day it is: ${said}`);
    verdict.demand((await page.evaluate(() => getComputedStyle(document.body).marginTop)) === "0px", `${path} without a network has no style`);
    verdict.saw("pages without a network");
  }
  await page.goto(`${server.address}calendar/index.html`);
  verdict.demand((await page.innerText("h1")).startsWith("Newer "), "what is kept is older than what was seen last");
  await page.goto(`${server.address}index.html`);
  verdict.demand((await page.$$(".day-jobs input[type=checkbox]")).length === (await page.$$(".day-jobs > [data-key]")).length, "jobs cannot be ticked without a network");
  await context.close();
}

const browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--disable-dev-shm-usage"] });
try {
  const server = await serve("/sub/", new Map());
  await ticked(browser, server.address, "from a host");
  await found(browser, server.address, "from a host");
  server.close();
  await ticked(browser, pathToFileURL(`${site}/`).href, "from disk");
  await offline(browser);
} finally {
  await browser.close();
  rmSync(room, { recursive: true });
}
verdict.end();
