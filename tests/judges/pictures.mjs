// Pictures of the largest page of each kind, to be looked at by a person: on a phone, a tablet and a desk, in light and
// dark, and as it is printed. Usage: pictures.mjs SITE FOLDER [PART OF A PATH]
import { mkdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { chromium } from "playwright-core";
import { ARGS, CHROMIUM, kinds, serve } from "./served.mjs";
import { files } from "./verdict.mjs";

const WIDTHS = [390, 820, 1440];
/** Higher pages are cut: what matters is at the top, and the rest is more of the same. */
const MOST_HEIGHT = 3200;

const [site, folder, wanted] = [resolve(process.argv[2]), resolve(process.argv[3]), process.argv[4] ?? ""];
const pages = files(site).filter((file) => file.endsWith(".html"));
const samples = kinds(site, pages).filter((path) => path.includes(wanted));
const server = await serve(site, "/");
const browser = await chromium.launch({ executablePath: CHROMIUM, args: ARGS });
mkdirSync(folder, { recursive: true });
let taken = 0;
for (const colorScheme of ["light", "dark"]) {
  for (const width of WIDTHS) {
    const context = await browser.newContext({ viewport: { width, height: 900 }, colorScheme });
    const page = await context.newPage();
    for (const path of samples) {
      const name = path.replace(/\/?index\.html$/, "").replaceAll("/", "_") || "home";
      await page.goto(`${server.origin}/${path}`, { waitUntil: "networkidle" });
      const height = await page.evaluate(() => document.documentElement.scrollHeight);
      const clip = { x: 0, y: 0, width, height: Math.min(height, MOST_HEIGHT) };
      await page.screenshot({ path: join(folder, `${name}-${width}-${colorScheme}.png`), clip, fullPage: true });
      taken += 1;
      if (width !== WIDTHS[0] || colorScheme !== "light") continue;
      await page.pdf({ path: join(folder, `${name}-print.pdf`), format: "A4", preferCSSPageSize: true });
      taken += 1;
    }
    await context.close();
  }
}
await browser.close();
server.close();
console.log(`${taken} pictures of ${samples.length} pages in ${folder}`);
if (taken === 0) process.exit(1);
