// Judges every HTML page by npm html-validate: its recommended, document and accessibility rules (html-validate.json).
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { HtmlValidate, StaticConfigLoader } from "html-validate";
import { Verdict, files } from "./verdict.mjs";

const [site] = process.argv.slice(2);
const verdict = new Verdict("pages", "pages", "bytes");
const here = dirname(fileURLToPath(import.meta.url));
const { rules, extends: sets, why } = JSON.parse(readFileSync(join(here, "html-validate.json"), "utf8"));
for (const rule of Object.keys(rules)) verdict.demand(why[rule], `html-validate.json changes ${rule} and does not say why`);
const judge = new HtmlValidate(new StaticConfigLoader({ root: true, extends: sets, rules }));

// It must be able to say no, with the very rules that are used here.
const broken = "<!DOCTYPE html><html><head><title></title></head><body><img src=a.png><p id=a><div id=a></p></body></html>";
const found = new Set((await judge.validateString(broken)).results.flatMap((result) => result.messages.map((one) => one.ruleId)));
for (const rule of ["element-required-attributes", "wcag/h37", "no-dup-id", "close-order", "empty-title"]) {
  verdict.demand(found.has(rule), `the rule ${rule} does not see a broken page: ${[...found]}`);
  verdict.saw("rules tried on a broken page");
}

const grouped = new Map();
for (const path of files(site).filter((file) => file.endsWith(".html"))) {
  const text = readFileSync(join(site, path), "utf8");
  const report = await judge.validateString(text, path);
  for (const { messages } of report.results) {
    for (const { ruleId, message, line, column } of messages) {
      const key = `${ruleId}: ${message}`;
      const places = grouped.get(key) ?? [];
      grouped.set(key, [...places, `${path}:${line}:${column}`]);
    }
  }
  verdict.saw("pages");
  verdict.saw("bytes", text.length);
}
for (const [fault, places] of grouped) {
  verdict.demand(false, `${fault} (${places.length} times, e.g. ${places.slice(0, 3).join(", ")})`);
}
verdict.end();
