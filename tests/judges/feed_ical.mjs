// Judges the calendar feeds by npm ical.js: read strictly, and compared event by event with garden.json.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import ICAL from "ical.js";
import { Verdict, files } from "./verdict.mjs";

const [site] = process.argv.slice(2);
const data = JSON.parse(readFileSync(join(site, "garden.json"), "utf8"));
const expected = data.tasks.length ? ["events", "tasks found in their event"] : [];
const verdict = new Verdict("feed by ical.js", "feeds", ...expected);
ICAL.design.strict = true;
const names = new Map(data.crops.map((crop) => [crop.slug, crop.name]));
const cropOf = new Map(data.plantings.map((planting) => [planting.id, names.get(planting.crop)]));

for (const path of files(site).filter((file) => file.endsWith(".ics"))) {
  const text = readFileSync(join(site, path), "utf8");
  let calendar;
  try {
    calendar = new ICAL.Component(ICAL.parse(text));
  } catch (error) {
    verdict.demand(false, `${path}: ${error.message}`);
    continue;
  }
  verdict.saw("feeds");
  const events = new Map();
  for (const component of calendar.getAllSubcomponents("vevent")) {
    const event = new ICAL.Event(component);
    verdict.demand(!events.has(event.uid), `${path}: UID ${event.uid} stands twice`);
    events.set(event.uid, event);
    verdict.demand(event.startDate.isDate && event.endDate.isDate, `${path}: ${event.summary}: not all-day`);
    verdict.demand(event.duration.toString() === "P1D", `${path}: ${event.summary}: lasts ${event.duration}`);
    verdict.demand(!event.isRecurring(), `${path}: ${event.summary}: repeats`);
    verdict.demand(event.summary?.trim(), `${path}: ${event.uid}: says nothing`);
    verdict.saw("events");
  }
  if (path !== "tasks.ics") continue;
  // Only a full feed may leave tasks out, the farthest first.
  const lastKept = [...events.values()].map((event) => event.startDate.toString()).sort().at(-1);
  for (const task of data.tasks) {
    const event = events.get(task.uid);
    if (!event) {
      verdict.demand(events.size === 1000 && task.due >= lastKept, `${task.what} of ${task.planting} on ${task.due} is missing`);
      continue;
    }
    verdict.demand(event.startDate.toString() === task.due, `${task.what} on ${task.due} stands on ${event.startDate}`);
    const crop = task.planting && cropOf.get(task.planting);
    verdict.demand(!crop || event.description.toLowerCase().includes(crop.toLowerCase()), `${event.summary}: does not name ${crop}`);
    verdict.saw("tasks found in their event");
  }
  const named = new Set(data.tasks.map((task) => task.uid));
  for (const uid of events.keys()) verdict.demand(named.has(uid), `event ${uid} has no task in garden.json`);
}
verdict.end();
