// What the Node judges share: counts what was looked at, gathers what is wrong, and cannot be empty.
import { readdirSync } from "node:fs";
import { join, relative, sep } from "node:path";

const SHOWN = 40;

export class Verdict {
  constructor(judge, ...expected) {
    this.judge = judge;
    this.counts = new Map(expected.map((what) => [what, 0]));
    this.faults = [];
  }

  saw(what, number = 1) {
    this.counts.set(what, (this.counts.get(what) ?? 0) + number);
  }

  demand(isRight, fault) {
    if (!isRight) this.faults.push(fault);
    return Boolean(isRight);
  }

  end() {
    for (const [what, number] of this.counts) this.demand(number > 0, `judged no ${what}: nothing was checked`);
    this.demand(this.counts.size > 0, "nothing was checked");
    console.log(`${this.judge}: ${[...this.counts].map(([what, number]) => `${number} ${what}`).join(", ")}`);
    for (const fault of this.faults.slice(0, SHOWN)) console.log(`  FAULT ${fault}`);
    if (this.faults.length > SHOWN) console.log(`  … and ${this.faults.length - SHOWN} more`);
    process.exitCode = this.faults.length ? 1 : 0;
  }
}

/** Every file below a folder, as paths with slashes, sorted. */
export function files(folder) {
  const found = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
  return found.map((entry) => relative(folder, join(entry.parentPath ?? entry.path, entry.name)).split(sep).join("/")).sort();
}
