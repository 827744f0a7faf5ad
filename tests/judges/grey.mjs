// Judges whether the strokes of the planting calendar can be told apart without colour: the key of calendar/ is rendered in
// greyscale, and each sample is compared with each other one pixel by pixel.
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { Verdict } from "./verdict.mjs";

const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
// So many hundredths of the inked pixels of two samples have to differ.
const DIFFERENT = 30;

const site = resolve(process.argv[2]);
const verdict = new Verdict("grey", "strokes rendered", "pairs compared");

/** The darkness of each pixel of a picture, 0 to 1, against its lightest or darkest ground. */
async function darkness(blank, png) {
  return blank.evaluate(async (data) => {
    const image = new Image();
    image.src = `data:image/png;base64,${data}`;
    await image.decode();
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [image.width, image.height];
    const context = canvas.getContext("2d");
    context.drawImage(image, 0, 0);
    const pixels = context.getImageData(0, 0, image.width, image.height).data;
    const grey = [];
    for (let at = 0; at < pixels.length; at += 4) grey.push(0.2126 * pixels[at] + 0.7152 * pixels[at + 1] + 0.0722 * pixels[at + 2]);
    const ground = grey[0];
    return grey.map((value) => Math.abs(value - ground) / 255);
  }, png.toString("base64"));
}

/** Lines as high as a row is, cut to those with ink, so that two strokes are not told apart by their level alone. */
function cut(pixels, width) {
  const rows = [];
  for (let at = 0; at < pixels.length; at += width) rows.push(pixels.slice(at, at + width));
  const inked = rows.filter((row) => row.some((value) => value > 0.1));
  return inked;
}

/** In hundredths of the ink of both. */
function difference(one, other) {
  const height = Math.max(one.length, other.length);
  const line = (rows, index, width) => rows[index - Math.floor((height - rows.length) / 2)] ?? Array(width).fill(0);
  let apart = 0, ink = 0;
  for (let index = 0; index < height; index += 1) {
    const width = (one[0] ?? other[0]).length;
    const [a, b] = [line(one, index, width), line(other, index, width)];
    for (let x = 0; x < width; x += 1) {
      apart += Math.abs(a[x] - b[x]);
      ink += Math.max(a[x], b[x]);
    }
  }
  return ink ? (100 * apart) / ink : 0;
}

const browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox", "--disable-dev-shm-usage"] });
try {
  for (const colorScheme of ["light", "dark"]) {
    const context = await browser.newContext({ viewport: { width: 820, height: 900 }, colorScheme, deviceScaleFactor: 2 });
    const page = await context.newPage();
    const blank = await context.newPage();
    await page.goto(pathToFileURL(join(site, "calendar/index.html")).href, { waitUntil: "load" });
    await page.addStyleTag({ content: "html { filter: grayscale(1) }" }).catch(() => {});
    const samples = [];
    for (const item of await page.locator(".life-key li").all()) {
      const name = (await item.innerText()).trim();
      const png = await item.locator("svg").screenshot();
      const width = png.readUInt32BE(16);
      samples.push({ name, rows: cut(await darkness(blank, png), width) });
      verdict.saw("strokes rendered");
    }
    verdict.demand(samples.length === 5, `the key shows ${samples.length} strokes`);
    for (const { name, rows } of samples) verdict.demand(rows.length > 0, `${colorScheme}: nothing is drawn for “${name}”`);
    samples.forEach((one, index) => {
      for (const other of samples.slice(index + 1)) {
        const apart = difference(one.rows, other.rows);
        verdict.demand(apart >= DIFFERENT, `${colorScheme}: “${one.name}” and “${other.name}” differ by ${apart.toFixed(0)} of 100 only`);
        verdict.saw("pairs compared");
      }
    });
    // It must be able to say no.
    verdict.demand(difference(samples[0].rows, samples[0].rows) < DIFFERENT, "a stroke differs from itself");
    await context.close();
  }
} finally {
  await browser.close();
}
verdict.end();
