// The water reports of a day: each is looked at by the core, and the plan is given what it can count with.

import { isPart, pathText } from './state.js';
import { InputError, water } from './underlet/water.js';

/** @import { Problem, Water, WaterEntry } from './underlet/water.js' */
/** @import { Day, Part } from './state.js' */

/**
 * What the core says of one report. `water` leaves out what it refused; `problems` say what that is, with paths of the day.
 *
 * @typedef {{ water: Water | undefined, problems: Problem[] }} Look
 */

/** Where a source keeps what its report tells and a brew day has no use for. */
export const REPORT = 'report';

/** What a source says besides its report. */
const OF_THE_BREW_DAY = ['at_most', REPORT];

/** @param {Day} day */
export function lookAtReports(day) {
  return day.sources.map(lookAt);
}

/**
 * @param {Part} source
 * @param {number} i Which source of the day it is.
 * @returns {Look}
 */
function lookAt(source, i) {
  const report = reportOf(source);
  const first = ask(report);
  if (first.problems.length === 0) return first;
  // What was refused must not keep the plan from the rest: the second question leaves it out.
  const refused = new Set(first.problems.map(({ path }) => keyOf(path)));
  const rest = Object.fromEntries(Object.entries(report).filter(([key]) => !refused.has(key)));
  const own = isPart(source[REPORT]) ? source[REPORT] : {};
  const inDay = (/** @type {string} */ path) => `${pathText(keyOf(path) in own ? ['sources', i, REPORT] : ['sources', i])}.${path}`;
  const problems = first.problems
    .filter(({ code }) => code !== 'unknown_key')
    .map((problem) => ({ ...problem, path: inDay(problem.path) }));
  return { water: ask(rest).water, problems };
}

/**
 * The key of a document that a path begins with.
 *
 * @param {string} path
 */
function keyOf(path) {
  return path.split(/[.[]/, 1)[0] ?? '';
}

/**
 * The report of a source as a document of the engine.
 *
 * @param {Part} source
 * @returns {Part}
 */
function reportOf(source) {
  const stated = Object.entries(source).filter(([key]) => !OF_THE_BREW_DAY.includes(key));
  const more = isPart(source[REPORT]) ? source[REPORT] : {};
  // A name that is missing or spoilt is told with the plan.
  return { underlet: 1, today: today(), ...more, ...Object.fromEntries(stated), name: 'this water' };
}

/** The day of reading by this device, as ISO 8601 writes it. */
function today() {
  const now = new Date();
  const two = (/** @type {number} */ number) => String(number).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/**
 * @param {Part} report
 * @returns {Look}
 */
function ask(report) {
  try {
    return { water: water(JSON.stringify(report)), problems: [] };
  } catch (refused) {
    if (!(refused instanceof InputError)) throw refused;
    return { water: undefined, problems: [...refused.problems] };
  }
}

/**
 * The day as the engine plans it: without what is the report's alone, and with one number in place of a range or of a
 * value below a detection limit.
 *
 * @param {Day} day
 * @param {readonly Look[]} looks
 */
export function toPlan(day, looks) {
  const sources = day.sources.map((source, i) => {
    const { [REPORT]: _, ...plain } = source;
    const counted = (looks[i]?.water?.entries ?? []).filter((entry) => entry.key in plain && isSpread(entry));
    return { ...plain, ...Object.fromEntries(counted.map((entry) => [entry.key, guess(entry)])) };
  });
  return { ...day, sources };
}

/**
 * True where a report does not state one number.
 *
 * @param {WaterEntry} entry
 */
export function isSpread({ low, high, below, sd }) {
  return [low, high, below, sd].some((number) => number !== null);
}

/**
 * The best single guess of an entry, as a brew day takes it.
 *
 * @param {WaterEntry} entry
 */
export function guess({ value, unit }) {
  return unit === '' ? value : `${value} ${unit}`;
}
