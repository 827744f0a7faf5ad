// Two editors, set up as README says, find file, line, column, severity and words in each line of `trug proof --format line`.
// VS Code's matcher runs as VS Code runs it; Vim's 'errorformat' is translated by its help page (from memory).
// The lines are those expected of every code's case in tests/problems.
import { readFileSync, readdirSync } from "node:fs";
import { Verdict } from "./verdict.mjs";

const verdict = new Verdict("editors", "lines of problems", "lines that name no file");
const readme = readFileSync("README.md", "utf8");

const [task] = JSON.parse(/```json\n(\{"version"[^]*?)```/.exec(readme)[1]).tasks;
const matcher = task.problemMatcher.pattern;
const expression = new RegExp(matcher.regexp);
function inVsCode(line) {
  const found = expression.exec(line);
  return found && ["file", "line", "column", "severity", "message"].map((part) => found[matcher[part]]);
}

const parts = { "%f": "(.+?)", "%l": "(\\d+)", "%c": "(\\d+)", "%t": "(.)", "%m": "(.*)", "%*[^]]": "[^\\]]+" };
const formats = /set errorformat=(.*)/.exec(readme)[1].replaceAll("\\ ", " ").split(",").map((format) => {
  const translated = format.replace(/%\*\[\^\]\]|%[a-z]|[[\]().*+?]/g, (part) => parts[part] ?? `\\${part}`);
  return new RegExp(`^${translated}$`);
});
function inVim(line) {
  return formats.map((format) => format.exec(line)).find(Boolean)?.slice(1);
}

for (const name of readdirSync("tests/problems")) {
  const [lines] = readFileSync(`tests/problems/${name}/expected.txt`, "utf8").split("\n\n");
  for (const line of lines.trim().split("\n")) {
    if (name === "garden-missing" && line.startsWith("trug: error[garden-missing]: ")) {
      verdict.saw("lines that name no file");
      continue;
    }
    verdict.saw("lines of problems");
    const known = /^(?<file>[^:]+):(?<at>\d+):(?<column>\d+): (?<severity>error|warning)\[/.exec(line)?.groups;
    if (!verdict.demand(known, `${name}: no place in ${line}`)) continue;
    for (const [editor, read] of [["VS Code", inVsCode(line)], ["Vim", inVim(line)]]) {
      const [file, at, column, severity, words] = read ?? [];
      const place = `${file}:${at}:${column}`;
      verdict.demand(place === `${known.file}:${known.at}:${known.column}`, `${editor} goes to ${place}: ${line}`);
      verdict.demand(severity && known.severity.startsWith(severity), `${editor} reads severity ${severity}: ${line}`);
      verdict.demand(words && line.endsWith(words) && !words.includes(`[${name}`), `${editor} reads "${words}": ${line}`);
    }
  }
}
verdict.end();
