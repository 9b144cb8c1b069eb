// The day handed to the plan. What of a report or a bench cannot be read does not keep the plan from the rest.

import { asItStands, BENCH, inDay, problemsOf, REPORT, toPlan, without } from './report.js';
import { plan } from './underlet/index.js';

/** @import { Plan, Problem } from './underlet/index.js' */
/** @import { Look } from './report.js' */
/** @import { Day, Part } from './state.js' */

/**
 * The plan and the text it was asked with, or what must be mended before there is one; `setAside` is what the plan does
 * without. Paths are the day's.
 *
 * @typedef {{ text: string, plan: Plan | undefined, toMend: Problem[], setAside: Problem[] }} Planned
 */

/** What a problem of a report or bench begins with; the last part is missing where it is about the whole. */
const OF_A_REPORT = new RegExp(String.raw`^sources\[(\d+)\]\.(?:${REPORT}|${BENCH})(\.|$)`);

/** First what cannot be read is left out, then a report and bench that fit no one water. */
const SECOND_TRIES = 2;

/**
 * @param {Day} day
 * @param {readonly Look[]} looks What the core says of the reports, as far as it was asked.
 * @returns {Planned}
 */
export function planDay(day, looks) {
  return attempt(day, looks, day.sources, [], SECOND_TRIES);
}

/**
 * @param {Day} day
 * @param {readonly Look[]} looks
 * @param {readonly Part[]} sources
 * @param {Problem[]} setAside
 * @param {number} tries How many are left after this one.
 * @returns {Planned}
 */
function attempt(day, looks, sources, setAside, tries) {
  const text = JSON.stringify({ ...day, sources: sources.map(toPlan) });
  try {
    return { text, plan: plan(text), toMend: [], setAside };
  } catch (refused) {
    const problems = problemsOf(refused).map((problem) => ({ ...problem, path: fromPlan(day, problem.path) }));
    const ofReports = problems.filter(({ path }) => sourceOf(path) !== undefined);
    // That report and bench fit no one water is told with today's water.
    const aside = [...setAside, ...ofReports.filter(({ path }) => !isOfTheWhole(path))];
    if (tries > 0 && ofReports.length === problems.length) {
      const rest = sources.map((source, i) => (
        problems.some(({ path }) => sourceOf(path) === i && isOfTheWhole(path)) ? asItStands(source, looks[i]) : without(source, i, problems)));
      return attempt(day, looks, rest, aside, tries - 1);
    }
    const toMend = problems.filter((problem) => !ofReports.includes(problem));
    return { text, plan: undefined, toMend: toMend.length > 0 ? toMend : problems, setAside: aside };
  }
}

/** @param {string} path Of a report or bench. */
function isOfTheWhole(path) {
  return OF_A_REPORT.exec(path)?.[2] === '';
}

/**
 * Which source's report or bench a path is in, if any.
 *
 * @param {string} path
 */
function sourceOf(path) {
  const i = OF_A_REPORT.exec(path)?.[1];
  return i === undefined ? undefined : Number(i);
}

/**
 * The path in the day of what has this path in the plan's document.
 *
 * @param {Day} day
 * @param {string} path
 */
function fromPlan(day, path) {
  const [, i, inReport] = /^sources\[(\d+)\]\.report\.(.+)$/.exec(path) ?? [];
  return i === undefined || inReport === undefined ? path : inDay(day.sources[Number(i)], Number(i), inReport);
}
