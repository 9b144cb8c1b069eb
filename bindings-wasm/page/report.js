// The water reports of a day and today's measurements: the core checks each, and the plan uses today's water.

import { isOneNumber } from './quantity.js';
import { isPart, pathText, set } from './state.js';
import { InputError, water } from './underlet/index.js';

/** @import { Problem, Water } from './underlet/index.js' */
/** @import { Day, Part } from './state.js' */

/**
 * What the core finds in one report and today's measurements. `water` leaves out what it refused; `problems` say what that
 * is, with paths of the day. `isReconciled` is true where the plan uses today's water, not the figures as written.
 *
 * @typedef {{ water: Water | undefined, problems: Problem[], isReconciled: boolean }} CheckedReport
 */

/** Where a source keeps what else its report states, and what was measured today. */
export const REPORT = 'report';
export const BENCH = 'bench';

/** What a brew day uses beside today's liquor. */
const CHLORINE = ['free_chlorine', 'total_chlorine'];

/** Where a source that was drawn from the tank keeps its description. */
export const IN_WORDS = 'in_words';

/** Keys of a source that are not figures of its report. */
const OF_THE_BREW_DAY = ['name', 'max_amount', REPORT, BENCH, IN_WORDS];

/** @param {Day} day */
export function checkReports(day) {
  return day.sources.map(checkReport);
}

/**
 * @param {Part} source
 * @param {number} i Which source of the day it is.
 * @returns {CheckedReport}
 */
function checkReport(source, i) {
  if (isLiquor(source)) return { water: undefined, problems: [], isReconciled: false };
  const isReconciled = needsReconciling(source);
  const first = answerOf(source);
  if (first.problems.length === 0) return { ...first, isReconciled };
  const problems = first.problems.map((problem) => ({ ...problem, path: inDay(source, i, problem.path) }));
  // What was refused must not keep the rest from being checked: the second call leaves it out.
  const rest = answerOf(without(source, i, problems));
  // An unknown key is reported with the plan, where the plan sees it.
  const shown = problems.filter(({ code }) => isReconciled || code !== 'unknown_key');
  return { ...rest, problems: shown, isReconciled };
}

/**
 * @param {Part} source
 * @returns {Omit<CheckedReport, 'isReconciled'>}
 */
function answerOf(source) {
  try {
    const report = { ...reportOf(source), [BENCH]: source[BENCH] };
    return { water: water(JSON.stringify(report)), problems: [] };
  } catch (refused) {
    return { water: undefined, problems: problemsOf(refused) };
  }
}

/**
 * The problems of a document that the core refused; anything else is thrown on.
 *
 * @param {unknown} refused
 * @returns {Problem[]}
 */
export function problemsOf(refused) {
  if (!(refused instanceof InputError)) throw refused;
  return [...refused.problems];
}

/**
 * True where a source is liquor as the engine writes it, such as a draw of the tank, and not a report.
 *
 * @param {Part} source
 */
export function isLiquor(source) {
  return 'liquor' in source;
}

/**
 * True where a source has more than the figures a brew day uses: measurements, a range, a date, a hardness.
 *
 * @param {Part} source
 */
function needsReconciling(source) {
  if (isLiquor(source)) return false;
  return REPORT in source || BENCH in source || !Object.values(figuresOf(source)).every(isOneNumber);
}

/** @param {Part} source */
function figuresOf(source) {
  return Object.fromEntries(Object.entries(source).filter(([key]) => !OF_THE_BREW_DAY.includes(key)));
}

/**
 * The report of a source as a document of the engine.
 *
 * @param {Part} source
 * @returns {Part}
 */
function reportOf(source) {
  const more = isPart(source[REPORT]) ? source[REPORT] : {};
  // A missing or invalid name is reported with the plan.
  return { underlet: 1, today: today(), ...more, ...figuresOf(source), name: 'this water' };
}

/** Today's date on this device, as ISO 8601 writes it. */
function today() {
  const now = new Date();
  const two = (/** @type {number} */ number) => String(number).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/**
 * A source as the plan uses it: today's liquor where there is more than plain figures and one water fits them, else the figures
 * as written, one number each.
 *
 * @param {Part} source
 * @param {CheckedReport | undefined} report Missing for a source that is not on the page yet.
 */
export function toPlan(source, report) {
  const { [IN_WORDS]: _, ...rest } = source;
  if (!needsReconciling(source)) return rest;
  const { name, max_amount, [REPORT]: __, [BENCH]: ___, ...plain } = rest;
  const liquor = report?.water?.reconciled?.liquor;
  if (liquor) return { name, max_amount, liquor, ...chlorineOf(source) };
  const read = (report?.water?.entries ?? []).filter(({ key }) => key in plain);
  const figures = read.map(({ key, value, unit }) => [key, unit === '' ? value : `${value} ${unit}`]);
  return { name, max_amount, ...plain, ...Object.fromEntries(figures), ...chlorineOf(source) };
}

/**
 * Chlorine as measured today, else as the report states it; none where neither is one number ("<0.1").
 *
 * @param {Part} source
 */
function chlorineOf(source) {
  const parts = [source[BENCH], source[REPORT], source].filter(isPart);
  const found = CHLORINE.map((key) => [key, parts.map((part) => part[key]).find(isOneNumber)]);
  return Object.fromEntries(found.filter(([, value]) => value !== undefined));
}

/**
 * The path within the day of a path within the report of a source.
 *
 * @param {Part | undefined} source
 * @param {number} i
 * @param {string} path
 */
function inDay(source, i, path) {
  const [key = ''] = path.split(/[.[]/, 1);
  const isTheReports = isPart(source?.[REPORT]) && key in source[REPORT];
  return `${pathText(['sources', i, ...(isTheReports ? [REPORT] : [])])}.${path}`;
}

/**
 * A source without the figures that cannot be read.
 *
 * @param {Part} source
 * @param {number} i
 * @param {readonly Problem[]} problems Problems of the day, with its paths.
 */
function without(source, i, problems) {
  const rest = structuredClone(source);
  const start = `${pathText(['sources', i])}.`;
  for (const { path } of problems.filter((problem) => problem.path.startsWith(start))) {
    const steps = path.slice(start.length).split(/[.[]/);
    set(rest, steps.slice(0, steps[0] === REPORT || steps[0] === BENCH ? 2 : 1), undefined);
  }
  return rest;
}
