// The water reports of a day and this morning's benches: the core looks at each, and the plan is given today's liquor.

import { isOneNumber } from './quantity.js';
import { isPart, pathText, set } from './state.js';
import { InputError, water } from './underlet/index.js';

/** @import { Problem, Water } from './underlet/index.js' */
/** @import { Day, Part } from './state.js' */

/**
 * What the core says of one report and its bench. `water` leaves out what it refused; `problems` say what that is, with
 * paths of the day. `isCounted` is true where the plan counts today's water, not the figures as they stand.
 *
 * @typedef {{ water: Water | undefined, problems: Problem[], isCounted: boolean }} Look
 */

/** Where a source keeps what its report tells besides, and what was measured this morning. */
export const REPORT = 'report';
export const BENCH = 'bench';

/** What a brew day takes beside today's liquor. */
const CHLORINE = ['free_chlorine', 'total_chlorine'];

/** Where a source that was drawn from the tank keeps in words what it is. */
export const IN_WORDS = 'in_words';

/** What a source says besides the figures of its report. */
const OF_THE_BREW_DAY = ['name', 'max_amount', REPORT, BENCH, IN_WORDS];

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
  if (isLiquor(source)) return { water: undefined, problems: [], isCounted: false };
  const isCounted = isTold(source);
  const first = answerOf(source);
  if (first.problems.length === 0) return { ...first, isCounted };
  const problems = first.problems.map((problem) => ({ ...problem, path: inDay(source, i, problem.path) }));
  // What was refused must not keep the rest from being looked at: the second question leaves it out.
  const rest = answerOf(without(source, i, problems));
  // A key that nobody knows is told with the plan, where the plan sees it.
  const shown = problems.filter(({ code }) => isCounted || code !== 'unknown_key');
  return { ...rest, problems: shown, isCounted };
}

/**
 * @param {Part} source
 * @returns {Omit<Look, 'isCounted'>}
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
 * True where a source is liquor as the engine writes it, such as a draw of the tank, and no report.
 *
 * @param {Part} source
 */
export function isLiquor(source) {
  return 'liquor' in source;
}

/**
 * True where a source tells more than the figures a brew day takes: a bench, a range, a date, a hardness.
 *
 * @param {Part} source
 */
function isTold(source) {
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
  // A name that is missing or spoilt is told with the plan.
  return { underlet: 1, today: today(), ...more, ...figuresOf(source), name: 'this water' };
}

/** The day of reading by this device, as ISO 8601 writes it. */
function today() {
  const now = new Date();
  const two = (/** @type {number} */ number) => String(number).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/**
 * A source as the plan takes it: today's liquor where report or bench tell more than plain figures, and one water fits them; else
 * the figures as they stand, one number each.
 *
 * @param {Part} source
 * @param {Look | undefined} look Missing for a source that is not on the page yet.
 */
export function toPlan(source, look) {
  const { [IN_WORDS]: _, ...told } = source;
  if (!isTold(source)) return told;
  const { name, max_amount, [REPORT]: __, [BENCH]: ___, ...plain } = told;
  const liquor = look?.water?.reconciled?.liquor;
  if (liquor) return { name, max_amount, liquor, ...chlorineOf(source) };
  const read = (look?.water?.entries ?? []).filter(({ key }) => key in plain);
  const figures = read.map(({ key, value, unit }) => [key, unit === '' ? value : `${value} ${unit}`]);
  return { name, max_amount, ...plain, ...Object.fromEntries(figures), ...chlorineOf(source) };
}

/**
 * Chlorine as it was read this morning, else as the report has it; none where neither is one number ("<0.1").
 *
 * @param {Part} source
 */
function chlorineOf(source) {
  const told = [source[BENCH], source[REPORT], source].filter(isPart);
  const found = CHLORINE.map((key) => [key, told.map((part) => part[key]).find(isOneNumber)]);
  return Object.fromEntries(found.filter(([, value]) => value !== undefined));
}

/**
 * The path in the day of what has this path in the report of a source.
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
