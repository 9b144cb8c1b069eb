// The day handed to the plan. What of a report's own facts or of a bench cannot be read does not keep the plan from the rest.

import { BENCH, problemsOf, REPORT, toPlan } from './report.js';
import { brewOf } from './state.js';
import { plan } from './underlet/index.js';

/** @import { Plan, Problem } from './underlet/index.js' */
/** @import { Look } from './report.js' */
/** @import { Day } from './state.js' */

/**
 * The plan and the text it was asked with, or what must be mended before there is one. Paths are the day's.
 *
 * @typedef {{ text: string, plan: Plan | undefined, toMend: Problem[] }} Planned
 */

/** What the plan can do without. */
const OF_A_REPORT = new RegExp(String.raw`^sources\[\d+\]\.(?:${REPORT}|${BENCH})(?:\.|$)`);

/**
 * @param {Day} day
 * @param {readonly Look[]} looks What the core says of the reports.
 * @returns {Planned}
 */
export function planDay(day, looks) {
  const text = JSON.stringify({ ...brewOf(day), sources: day.sources.map((source, i) => toPlan(source, looks[i])) });
  const figures = looks.filter(({ isCounted }) => isCounted).flatMap(({ problems }) => problems).filter(({ path }) => !OF_A_REPORT.test(path));
  const answered = answer(text);
  const toMend = [...figures, ...answered.toMend.filter(({ path }) => figures.every((figure) => figure.path !== path))];
  return { text, plan: toMend.length === 0 ? answered.plan : undefined, toMend };
}

/**
 * @param {string} text
 * @returns {Omit<Planned, 'text'>}
 */
function answer(text) {
  try {
    return { plan: plan(text), toMend: [] };
  } catch (refused) {
    return { plan: undefined, toMend: problemsOf(refused) };
  }
}
