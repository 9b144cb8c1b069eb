// Plans the day. Entries of a report or of today's measurements that cannot be read do not block the plan.

import { BENCH, problemsOf, REPORT, toPlan } from './report.js';
import { brewOf } from './state.js';
import { plan } from './underlet/index.js';

/** @import { Plan, Problem } from './underlet/index.js' */
/** @import { CheckedReport } from './report.js' */
/** @import { Day } from './state.js' */

/**
 * The plan and the text of its document, or what must be fixed first. Paths are those of the day.
 *
 * @typedef {{ text: string, plan: Plan | undefined, toFix: Problem[] }} Planned
 */

/** Paths that the plan does without. */
const OF_A_REPORT = new RegExp(String.raw`^sources\[\d+\]\.(?:${REPORT}|${BENCH})(?:\.|$)`);

/**
 * @param {Day} day
 * @param {readonly CheckedReport[]} reports What the core finds in the reports.
 * @returns {Planned}
 */
export function planDay(day, reports) {
  const text = JSON.stringify({ ...brewOf(day), sources: day.sources.map((source, i) => toPlan(source, reports[i])) });
  const figures = reports.filter(({ isReconciled }) => isReconciled).flatMap(({ problems }) => problems).filter(({ path }) => !OF_A_REPORT.test(path));
  const answered = answer(text);
  const toFix = [...figures, ...answered.toFix.filter(({ path }) => figures.every((figure) => figure.path !== path))];
  return { text, plan: toFix.length === 0 ? answered.plan : undefined, toFix };
}

/**
 * @param {string} text
 * @returns {Omit<Planned, 'text'>}
 */
function answer(text) {
  try {
    return { plan: plan(text), toFix: [] };
  } catch (refused) {
    return { plan: undefined, toFix: problemsOf(refused) };
  }
}
