// Judges `trug preview` in Debian's Chromium: an entry that is edited is on the open page at once, at the same scroll
// place and with the same details open; a slip in it is told below the page as it was, with file and line, in light and
// dark, and nothing is covered that cannot be reached; and nothing of it is left on the disk.
import { spawn } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, readdirSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { chromium } from "playwright-core";
import { ARGS, CHROMIUM } from "./served.mjs";
import { Verdict, files } from "./verdict.mjs";

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const TRUG = resolve(process.env.TRUG ?? "target/debug/trug");
const site = resolve(process.argv[2]);
const { on } = JSON.parse(readFileSync(join(site, "garden.json"), "utf8"));
const verdict = new Verdict("preview", "pages that came again", "slips told", "axe rules passed", "pages without a request elsewhere");
const room = mkdtempSync(join(tmpdir(), "trug-preview-"));
cpSync(resolve(process.argv[3]), join(room, "content"), { recursive: true });

/** The longest entry that has a page, and where both lie. */
function longest() {
  const entries = files(join(room, "content/journal")).filter((path) => path.endsWith(".md"));
  const found = entries.map((path) => {
    const file = join(room, "content/journal", path);
    const text = readFileSync(file, "utf8");
    const [, title] = /^title: ([\p{L} ]{4,})$/mu.exec(text) ?? [];
    return { file, text, title };
  });
  const pages = files(site).filter((path) => /^journal\/\d+\/\d+\/[^/]+\/index\.html$/.test(path));
  const page = ({ title }) => title && pages.find((path) => readFileSync(join(site, path), "utf8").includes(`<h1>${title}</h1>`));
  const known = found.map((one) => ({ ...one, page: page(one) })).filter((one) => one.page);
  return known.sort((a, b) => b.text.length - a.text.length)[0];
}

/** As editors save: beside it, then in its place. */
function save(file, text) {
  writeFileSync(`${file}~`, text);
  renameSync(`${file}~`, file);
}

const server = spawn(TRUG, ["preview", "--on", on], { cwd: room, stdio: ["ignore", "ignore", "pipe"] });
const ended = new Promise((give) => server.on("exit", give));
let said = "";
const address = new Promise((give, take) => {
  server.stderr.on("data", (part) => {
    said += part;
    const open = /Open (http:\S+) in/.exec(said);
    if (open) give(open[1]);
  });
  server.on("exit", () => take(new Error(`trug preview ended: ${said}`)));
});

const browser = await chromium.launch({ executablePath: CHROMIUM, args: ARGS });
try {
  const root = await address;
  const entry = longest();
  for (const colorScheme of ["light", "dark"]) {
    const context = await browser.newContext({ viewport: { width: 390, height: 500 }, colorScheme });
    const page = await context.newPage();
    page.on("request", (request) => verdict.demand(request.url().startsWith(root), `${request.url()} is asked of somebody else`));
    page.on("console", (message) => verdict.demand(false, `console: ${message.text()}`));
    page.on("pageerror", (error) => verdict.demand(false, `${error}`));
    await page.goto(root + entry.page);
    const scrolls = await page.evaluate(() => (scrollTo(0, 120), document.querySelectorAll("details").forEach((one) => (one.open = true)), scrollY));
    verdict.demand(scrolls > 0, `${entry.page} is too short to scroll`);

    const word = `Wheelbarrow ${colorScheme}`;
    save(entry.file, `${entry.text.trimEnd()}\n\n${word}.\n`);
    const came = await page.getByText(`${word}.`).waitFor({ timeout: 20000 }).then(() => true, () => false);
    if (verdict.demand(came, "what was saved does not come")) verdict.saw("pages that came again");
    await page.waitForLoadState("load");
    const now = await page.evaluate(() => [scrollY, [...document.querySelectorAll("details")].every((one) => one.open)]);
    verdict.demand(Math.abs(now[0] - scrolls) <= 1, `the page was at ${scrolls}, and came at ${now[0]}`);
    verdict.demand(now[1], "what was open is closed");

    const broken = entry.text.replace(/^date: .*$/m, "date: 2026-02-31");
    const line = 1 + broken.slice(0, broken.indexOf("date: 2026-02-31")).split("\n").length - 1;
    save(entry.file, broken);
    const strip = page.locator("#trug-preview .strip.error");
    const told = await strip.waitFor({ timeout: 20000 }).then(() => strip.innerText(), () => "");
    const file = entry.file.slice(room.length + 1);
    for (const part of ["1 error", `${file}, line ${line}`, "there is no such day"]) {
      if (verdict.demand(told.includes(part), `a slip is told without ${part}: ${told}`)) verdict.saw("slips told");
    }
    verdict.demand((await page.getByText(`${word}.`).count()) === 1, "the last good page is gone");
    const reach = await page.evaluate(() => {
      scrollTo(0, document.documentElement.scrollHeight);
      const foot = document.querySelector(".foot").getBoundingClientRect();
      const strip = document.querySelector("#trug-preview").shadowRoot.querySelector(".strip").getBoundingClientRect();
      return [foot.bottom - strip.top, document.scrollingElement.scrollWidth];
    });
    verdict.demand(reach[0] <= 1, `the foot of the page lies ${reach[0]} px below the strip`);
    verdict.demand(reach[1] <= 390, `the page is ${reach[1]} px wide`);
    // To read styles in a tree of its own, axe tries what the page forbids.
    page.removeAllListeners("console");
    await page.evaluate(AXE);
    const axe = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations", "passes"] }));
    for (const { id, help, nodes } of axe.violations) verdict.demand(false, `axe ${id}: ${help}: ${nodes[0].html.slice(0, 110)} (${colorScheme})`);
    verdict.saw("axe rules passed", axe.passes.length);

    save(entry.file, entry.text);
    const gone = await strip.waitFor({ state: "hidden", timeout: 20000 }).then(() => true, () => false);
    verdict.demand(gone, "what was mended is told still");
    verdict.saw("pages without a request elsewhere");
    await context.close();
  }
  verdict.demand(readdirSync(room).join() === "content", `it left ${readdirSync(room)} on the disk`);
} finally {
  await browser.close();
  server.kill("SIGINT");
  const code = await ended;
  verdict.demand(code === 0, `it ended with ${code}: ${said}`);
  rmSync(room, { recursive: true });
}
verdict.end();
