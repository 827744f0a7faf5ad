// Judges the site with other fonts installed: the largest page of each kind, with three sets of fonts that a machine may
// have. Nowhere wider than the narrowest window (320 px; WCAG 2.2, 1.4.10), and nothing jumps while a page loads (0.02) on
// a phone, a tablet and a desk. Which fonts there are is told by a file of fontconfig's, so that what this machine
// has besides does not matter.
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { chromium } from "playwright-core";
import { ARGS, CHROMIUM, kinds, serve, shift } from "./served.mjs";
import { Verdict, files } from "./verdict.mjs";

const FONTS = "/usr/share/fonts/truetype";
/** Sets of fonts by Debian's package: folders, and what of them. */
const SETS = {
  "fonts-dejavu-core": [["dejavu", /^DejaVu/]],
  "fonts-noto-core and fonts-roboto-unhinted": [["noto", /^Noto(Serif|Sans)-(Regular|Bold|Italic|BoldItalic)\./], ["roboto/unhinted/RobotoTTF", /^Roboto-/], ["roboto/unhinted", /^Roboto-/]],
  "fonts-liberation": [["liberation", /^Liberation/]],
};
const WIDTHS = [390, 820, 1440];
const MOST_SHIFT = 0.02, NARROWEST = 320;

const site = resolve(process.argv[2]);
const verdict = new Verdict("fonts", "sets of fonts", "pages measured at 320 px", "pages seen loading");
const samples = kinds(site, files(site).filter((file) => file.endsWith(".html") && file !== "404.html"));

/** A file of fontconfig's that knows these fonts only. */
function only(name, folders, room) {
  const own = join(room, name.replaceAll(" ", "-"));
  mkdirSync(own);
  let found = 0;
  for (const [folder, wanted] of folders.filter(([folder]) => existsSync(join(FONTS, folder)))) {
    for (const file of readdirSync(join(FONTS, folder)).filter((file) => wanted.test(file))) {
      if (existsSync(join(own, file))) continue;
      symlinkSync(join(FONTS, folder, file), join(own, file));
      found += 1;
    }
  }
  verdict.demand(found > 1, `there are no fonts of ${name}: install them with apt-get`);
  const config = `${own}.conf`;
  writeFileSync(config, `<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig><dir>${own}</dir><cachedir>${own}.cache</cachedir></fontconfig>`);
  return config;
}

const server = await serve(site, "/sub/");
const room = mkdtempSync(join(tmpdir(), "fonts-"));
try {
  for (const [name, folders] of Object.entries(SETS)) {
    const browser = await chromium.launch({ executablePath: CHROMIUM, args: ARGS, env: { ...process.env, FONTCONFIG_FILE: only(name, folders, room) } });
    verdict.saw("sets of fonts");
    for (const width of WIDTHS) {
      // A context of its own: nothing of the set before is kept.
      const context = await browser.newContext({ viewport: { width, height: 844 } });
      await context.addInitScript(() => delete Navigator.prototype.serviceWorker);
      const page = await context.newPage();
      for (const path of samples) {
        await page.goto(`${server.origin}/sub/${path}`, { waitUntil: "load" });
        const jumped = await shift(page);
        verdict.demand(jumped <= MOST_SHIFT, `${path} jumps by ${jumped.toFixed(3)} at ${width} px with ${name}`);
        verdict.saw("pages seen loading");
        if (width !== WIDTHS[0]) continue;
        await page.setViewportSize({ width: NARROWEST, height: 844 });
        await page.evaluate(() => document.querySelectorAll("main details").forEach((part) => { part.open = true; }));
        const wide = await page.evaluate(() => document.scrollingElement.scrollWidth);
        verdict.demand(wide <= NARROWEST, `${path} is ${wide} px wide at ${NARROWEST} px with ${name}`);
        verdict.saw("pages measured at 320 px");
        await page.setViewportSize({ width, height: 844 });
      }
      await context.close();
    }
    await browser.close();
  }
} finally {
  server.close();
  rmSync(room, { recursive: true });
}
verdict.end();
