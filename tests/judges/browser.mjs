// Judges the site in Debian's Chromium: as served from a sub-folder, and opened straight from disk.
//
// Every page, both ways: no request to another origin, no failed request, nothing in the console, and not wider than the
// window at 390 px (a phone) and 320 px (WCAG 2.2, 1.4.10 Reflow). The largest page of each kind: the same text with
// JavaScript off (what scripts do is judged by phone.mjs), and no violation under axe-core in light and dark, at
// 390 px and 1280 px; nothing jumps while it loads (0.02), and with text twice as large the menu keeps its one row and the
// page does not scroll sideways. The front page weighs at most 80 kB with its fonts.
import { readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { ARGS, CHROMIUM, kinds, serve, shift } from "./served.mjs";
import { Verdict, files } from "./verdict.mjs";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const PHONE = 390, NARROWEST = 320, DESK = 1280;
// Cumulative layout shift while a page loads; and the front page with its fonts, uncompressed.
const MOST_SHIFT = 0.02, MOST_BYTES = 80_000;

const site = resolve(process.argv[2]);
const verdict = new Verdict("browser", "pages from a sub-folder", "pages from disk", "pages without JavaScript", "pages with text twice as large", "bytes of the front page", "pages measured at 390 px", "axe runs", "axe rules passed");
const pages = files(site).filter((file) => file.endsWith(".html"));

/** The path below which 404.html believes to lie: a host shows it at any depth, so its addresses are absolute. */
function rootOfLost() {
  const match = /<link rel="stylesheet" href="(\/.*?)assets\//.exec(readFileSync(join(site, "404.html"), "utf8"));
  return match ? match[1] : null;
}

/** Takes down whatever the page asks of others, and whatever fails or complains. */
function watch(page, label, isOurs) {
  const at = () => `${label} ${page.current}`;
  page.on("request", (request) => verdict.demand(isOurs(request.url()), `${at()}: asks ${request.url()}`));
  // A request that the next page overtakes is given up, and is no failure.
  const isGivenUp = (request) => request.failure().errorText === "net::ERR_ABORTED";
  page.on("requestfailed", (request) => verdict.demand(isGivenUp(request), `${at()}: ${request.url()}: ${request.failure().errorText}`));
  page.on("response", (answer) => verdict.demand(answer.status() < 400 || page.mayFail === answer.url(), `${at()}: ${answer.status()} ${answer.url()}`));
  page.on("console", (message) => verdict.demand(page.mayFail === message.location().url, `${at()}: console: ${message.text()}`));
  page.on("pageerror", (error) => verdict.demand(false, `${at()}: ${error}`));
}

async function open(browser, options, label, isOurs) {
  const context = await browser.newContext(options);
  // What is kept for when there is no network is judged by phone.mjs.
  await context.addInitScript(() => delete Navigator.prototype.serviceWorker);
  const page = await context.newPage();
  watch(page, label, isOurs);
  return { page, close: () => context.close() };
}

/** All that is folded away is opened, so that it is judged too. */
const unfold = (page) => page.evaluate(() => document.querySelectorAll("main details").forEach((part) => { part.open = true; }));

/** What a page says; the field of the search has no use without a script. */
const visible = (page) => page.evaluate(() => {
  document.querySelector("[role=search]")?.remove();
  return document.body.innerText;
});

/** Faults that many pages share, told once with their number. */
const shared = new Map();
const share = (fault, where) => shared.set(fault, [...(shared.get(fault) ?? []), where]);

/** Whether the page itself would scroll sideways; if so, which element sticks out farthest. */
async function measure(page, path, width) {
  verdict.saw(`pages measured at ${width} px`);
  const found = await page.evaluate((limit) => {
    if (document.scrollingElement.scrollWidth <= limit) return null;
    const scrolls = (node) => node !== document.body && ["auto", "scroll", "hidden"].includes(getComputedStyle(node).overflowX);
    const inScroller = (node) => {
      for (let around = node.parentElement; around && around !== document.body; around = around.parentElement) if (scrolls(around)) return true;
      return false;
    };
    const out = [...document.body.querySelectorAll("*")].filter((node) => node.getBoundingClientRect().right > limit && !inScroller(node));
    out.sort((a, b) => b.getBoundingClientRect().right - a.getBoundingClientRect().right);
    return out[0]?.cloneNode(false).outerHTML ?? "nothing that can be named";
  }, width);
  if (found) share(`wider than ${width} px because of ${found}`, path);
}

/** What was shown did not jump, and with text twice as large the page does not scroll sideways and its menu has one row. */
async function calm(page, path) {
  const jumped = await shift(page);
  if (jumped > MOST_SHIFT) share(`jumps while it loads, by ${jumped.toFixed(3)}`, path);
  const rows = await page.evaluate((limit) => {
    document.documentElement.style.fontSize = "200%";
    document.querySelectorAll("main details").forEach((part) => { part.open = true; });
    const tops = new Set([...document.querySelectorAll(".parts .row > li")].map((item) => item.getBoundingClientRect().top));
    const isWide = document.scrollingElement.scrollWidth > limit;
    return { tops: tops.size, isWide };
  }, PHONE);
  if (rows.tops !== 1) share(`the menu has ${rows.tops} rows with text twice as large`, path);
  if (rows.isWide) {
    await measure(page, `${path} with text twice as large`, PHONE);
  }
  await page.evaluate(() => document.documentElement.style.removeProperty("font-size"));
  verdict.saw("pages with text twice as large");
}

/** What the front page and all that it needs weigh, photographs left out. */
async function weight(browser) {
  const server = await serve(site, "/sub/");
  const { page, close } = await open(browser, { viewport: { width: PHONE, height: 844 } }, "weight", () => true);
  page.current = "index.html";
  const parts = new Map();
  page.on("response", async (answer) => {
    if (!/photos\//.test(answer.url())) parts.set(answer.url(), (await answer.body()).length);
  });
  await page.goto(`${server.origin}/sub/index.html`, { waitUntil: "networkidle" });
  const sum = [...parts.values()].reduce((sum, size) => sum + size, 0);
  verdict.demand(sum <= MOST_BYTES, `index.html weighs ${sum} bytes: ${[...parts].map(([url, size]) => `${url.split("/").at(-1)} ${size}`).join(", ")}`);
  verdict.saw("bytes of the front page", sum);
  await close();
  server.close();
}

/** Every page from a sub-folder, measured, and again without JavaScript. */
async function subFolder(browser) {
  const server = await serve(site, "/sub/");
  const isOurs = (url) => url.startsWith(`${server.origin}/sub/`);
  const samples = new Set(kinds(site, pages));
  const phone = await open(browser, { viewport: { width: PHONE, height: 844 } }, "/sub/", isOurs);
  const plain = await open(browser, { viewport: { width: PHONE, height: 844 }, javaScriptEnabled: false }, "without JavaScript", isOurs);
  for (const path of pages.filter((one) => one !== "404.html")) {
    const address = `${server.origin}/sub/${path}`;
    phone.page.current = plain.page.current = path;
    await phone.page.goto(address, { waitUntil: "load" });
    if (samples.has(path)) await calm(phone.page, path);
    await unfold(phone.page);
    await measure(phone.page, path, PHONE);
    await phone.page.setViewportSize({ width: NARROWEST, height: 844 });
    await measure(phone.page, path, NARROWEST);
    await phone.page.setViewportSize({ width: PHONE, height: 844 });
    const styled = await phone.page.evaluate(() => document.styleSheets.length > 0 && document.styleSheets[0].cssRules.length > 0);
    verdict.demand(styled, `${path}: the style sheet did not arrive`);
    verdict.saw("pages from a sub-folder");
    if (!samples.has(path)) continue;
    await plain.page.goto(address, { waitUntil: "load" });
    await unfold(plain.page);
    const text = await visible(plain.page);
    verdict.demand(text.trim() && text === (await visible(phone.page)), `${path}: says something else without JavaScript`);
    verdict.saw("pages without JavaScript");
  }
  await phone.close();
  await plain.close();
  server.close();
}

/** Every page opened from disk; 404.html is left out, nobody opens it from there. */
async function disk(browser) {
  const root = pathToFileURL(`${site}/`).href;
  const { page, close } = await open(browser, { viewport: { width: DESK, height: 900 } }, "file:", (url) => url.startsWith(root));
  for (const path of pages.filter((one) => one !== "404.html")) {
    page.current = path;
    await page.goto(new URL(path.split("/").map(encodeURIComponent).join("/"), root).href, { waitUntil: "load" });
    const margin = await page.evaluate(() => getComputedStyle(document.body).marginTop);
    verdict.demand(margin === "0px", `${path}: the style sheet does not arrive from disk`);
    verdict.saw("pages from disk");
  }
  await close();
}

/** 404.html as a host shows it, three folders deep, when the site lies where garden.yaml says. */
async function lost(browser) {
  const root = rootOfLost();
  if (root === null) return;
  const server = await serve(site, root);
  const { page, close } = await open(browser, {}, "404", (url) => url.startsWith(`${server.origin}${root}`));
  page.current = "404.html";
  page.mayFail = `${server.origin}${root}no/such/page/`;
  const answer = await page.goto(page.mayFail, { waitUntil: "load" });
  verdict.demand(answer.status() === 404, "a page that is not there was found");
  verdict.demand(await page.evaluate(() => document.styleSheets.length > 0), "404.html: no style sheet three folders deep");
  await page.click("main a");
  verdict.demand(page.url() === `${server.origin}${root}index.html`, `404.html: its way home leads to ${page.url()}`);
  verdict.saw("lost pages found home");
  await close();
  server.close();
}

async function axe(browser) {
  const root = rootOfLost() ?? "/";
  const server = await serve(site, root);
  for (const colorScheme of ["light", "dark"]) {
    for (const [width, text] of [[PHONE, 100], [PHONE, 200], [DESK, 100]]) {
      const { page, close } = await open(browser, { viewport: { width, height: 900 }, colorScheme }, "axe", () => true);
      for (const path of kinds(site, pages)) {
        page.current = path;
        await page.goto(`${server.origin}${root}${path}`, { waitUntil: "load" });
        await unfold(page);
        await page.evaluate((text) => { document.documentElement.style.fontSize = `${text}%`; }, text);
        await page.evaluate(AXE);
        const result = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations", "passes"] }));
        for (const { id, help, nodes } of result.violations) {
          for (const node of nodes) {
            share(`axe ${id}: ${help}: ${colours(node) ?? node.html.slice(0, 110)}`, `${path} (${colorScheme}, ${width} px, text ${text} %)`);
          }
        }
        verdict.saw("axe runs");
        verdict.saw("axe rules passed", result.passes.length);
      }
      await close();
    }
  }
  server.close();
}

/** The pair of colours of a contrast fault, so that a person can mend it. */
function colours(node) {
  const pair = [...node.any, ...node.all].map((check) => check.data).find((data) => data?.fgColor);
  if (!pair) return null;
  return `${pair.fgColor} on ${pair.bgColor} is ${pair.contrastRatio}:1, wants ${pair.expectedContrastRatio} (${node.target.join(" ")})`;
}

const browser = await chromium.launch({ executablePath: CHROMIUM, args: ARGS });
try {
  await subFolder(browser);
  await disk(browser);
  await lost(browser);
  await weight(browser);
  await axe(browser);
} finally {
  await browser.close();
}
for (const [fault, places] of shared) verdict.demand(false, `${fault} (${places.length} times, e.g. ${places.slice(0, 2).join(", ")})`);
verdict.end();
