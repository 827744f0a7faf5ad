// Judges every page and drawing by the Nu HTML checker (npm vnu-jar, run by a Java runtime). Usage: nu.mjs VNU.JAR SITE
//
// Style sheets are not shown to it: it does not know the properties of SVG 2 in CSS (`y`, `vector-effect`). From disk it
// takes every address for another host's, so what it says of the Content Security Policy there says nothing.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { Verdict, files } from "./verdict.mjs";

const [jar, site] = process.argv.slice(2).map((path) => resolve(path));
const verdict = new Verdict("nu", "pages and drawings", "faults seen on a broken page");

function faults(...wanted) {
  const args = ["-Xss4m", "-jar", jar, "--format", "json", "--skip-non-html", "--also-check-svg", "--exit-zero-always", ...wanted];
  const run = spawnSync("java", args, { encoding: "utf8", maxBuffer: 2 ** 28 });
  const { messages } = JSON.parse(run.stderr || run.stdout);
  return messages.filter((one) => !one.message.startsWith("Resource violates Content Security Policy"));
}

const room = mkdtempSync(join(tmpdir(), "nu-"));
writeFileSync(join(room, "broken.html"), "<!DOCTYPE html><html lang=en><title>x</title><p><div align=left>x</p><img src=x>");
const seen = faults(room).length;
rmSync(room, { recursive: true });
verdict.demand(seen >= 3, `a broken page has ${seen} faults`);
verdict.saw("faults seen on a broken page", seen);

verdict.saw("pages and drawings", files(site).filter((file) => /\.(html|svg)$/.test(file)).length);
for (const { type, subType, message, url, lastLine } of faults(site)) {
  verdict.demand(false, `${url}:${lastLine}: ${subType ?? type}: ${message}`);
}
verdict.end();
