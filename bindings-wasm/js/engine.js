// The engine in JavaScript: objects to text and back, and errors as Error objects. No chemistry and
// no decision is made here: the core reads every value and says what is wrong with it. The entries
// `index.js` and `node.js` load the wasm file, each in its way.

import loadWasm, * as wasm from './wasm/underlet.js';

/**
 * @import {
 *   BrewDay, Diagnosis, Equilibrium, EquilibriumInput, ErrorCode, FindingCode, FittedIons, IonFit,
 *   Names, Plan, Problem, Readings, TankDay, TankFindingCode, TankLedger, WasmSource, Water,
 *   WaterReport,
 * } from './index.js'
 */

/** An input that cannot be used: every problem, each with the path of its field. */
export class InputError extends Error {
  /** @param {readonly Problem[]} problems The problems, first field first; at least one. */
  constructor(problems) {
    const [first] = problems;
    if (!first) throw new RangeError('an InputError has at least one problem');
    super(problems.map(sentence).join('\n'));
    this.name = 'InputError';
    /** @type {readonly Problem[]} */
    this.problems = Object.freeze(problems.map((problem) => Object.freeze(problem)));
    /** @type {ErrorCode} Code of the first problem. */
    this.code = first.code;
  }
}

/** @param {Problem} problem */
function sentence({ code, path, read, expected, mend }) {
  return `${path === '' ? 'the document' : path}: read ${read}; expected ${expected}. ${mend} [${code}]`;
}

/**
 * @param {string} path
 * @param {string} read
 * @param {string} expected
 * @param {string} mend
 */
function wrongType(path, read, expected, mend) {
  return new InputError([{ code: 'wrong_type', path, read, expected, mend }]);
}

/**
 * A copy of what JSON can hold. Numbers that JSON cannot hold become the texts "NaN", "Infinity"
 * and "-Infinity", which the core names `not_finite`; `undefined` in an object counts as absent.
 *
 * @param {unknown} value
 * @param {string} path
 * @param {readonly object[]} above The objects that this value lies in.
 * @returns {unknown}
 */
function plain(value, path, above) {
  if (typeof value === 'number') return Number.isFinite(value) ? value : String(value);
  if (value === null || typeof value === 'string' || typeof value === 'boolean') return value;
  if (typeof value !== 'object') {
    throw wrongType(path, kindOf(value), 'text, a number, a list or an object', 'Give a value that JSON can hold.');
  }
  if (above.includes(value)) {
    throw wrongType(path, 'an object that contains itself', 'a document without circles', 'Remove the circle.');
  }
  if (above.length >= DEEPEST) {
    const mend = 'Give the object of a document.';
    throw wrongType(path, 'an object nested too deep', 'a document', mend);
  }
  const here = [...above, value];
  if (Array.isArray(value)) return Array.from(value, (item, i) => plain(item, `${path}[${i}]`, here));
  const entries = Object.entries(value).filter(([, item]) => item !== undefined);
  return Object.fromEntries(
    entries.map(([key, item]) => [key, plain(item, path === '' ? key : `${path}.${key}`, here)]),
  );
}

/**
 * No document is nested nearly as deep; deeper ones are refused before they can exhaust the stack.
 */
const DEEPEST = 100;

/** @param {unknown} value */
function kindOf(value) {
  return value === undefined ? 'undefined' : `a ${typeof value}`;
}

/**
 * The text of a document: text as it is, an object written as JSON.
 *
 * @param {unknown} document
 * @returns {string}
 */
function textOf(document) {
  if (typeof document === 'string') return document;
  if (typeof document !== 'object') {
    const mend = 'Give the object of a document, or its JSON text.';
    throw wrongType('', kindOf(document), 'a document', mend);
  }
  return JSON.stringify(plain(document, '', []));
}

let isLoaded = false;

/**
 * Loads the wasm file, from beside the package's own files where no source is given.
 *
 * @param {WasmSource} [source]
 */
export async function load(source) {
  try {
    await loadWasm(source === undefined ? undefined : { module_or_path: source });
  } catch (failure) {
    const hint = 'If a bundler left it behind, give its address: init(url). '
      + 'The README of the package shows how, under "Bundlers".';
    throw new Error(`underlet_bg.wasm could not be loaded (${failure}). ${hint}`, { cause: failure });
  }
  isLoaded = true;
}

/** @param {BufferSource} bytes What the wasm file holds. */
export function loadSync(bytes) {
  wasm.initSync({ module: bytes });
  isLoaded = true;
}

function engine() {
  if (!isLoaded) throw new Error('The engine is not loaded: await init() before any other call.');
  return wasm;
}

/**
 * Calls the core; what it refuses is thrown as an {@link InputError}.
 *
 * @param {(text: string) => string} ask
 * @param {unknown} document
 */
function answer(ask, document) {
  const text = textOf(document);
  try {
    return ask(text);
  } catch (refused) {
    if (typeof refused !== 'string') throw refused;
    /** @type {{ problems: Problem[] }} */
    const { problems } = JSON.parse(refused);
    throw new InputError(problems);
  }
}

/**
 * @param {BrewDay | string} day
 * @returns {Plan}
 */
export function plan(day) {
  return JSON.parse(planText(day));
}

/** @param {BrewDay | string} day */
export function planText(day) {
  return answer(engine().plan, day);
}

/** @param {Plan | string} plan */
export function sheet(plan) {
  return answer(engine().sheet, plan);
}

/**
 * @param {WaterReport | string} report
 * @returns {Water}
 */
export function water(report) {
  return JSON.parse(waterText(report));
}

/** @param {WaterReport | string} report */
export function waterText(report) {
  return answer(engine().water, report);
}

/**
 * @param {Readings | string} readings
 * @returns {Diagnosis}
 */
export function check(readings) {
  return JSON.parse(checkText(readings));
}

/** @param {Readings | string} readings */
export function checkText(readings) {
  return answer(engine().check, readings);
}

/**
 * @param {TankDay | string} day
 * @returns {TankLedger}
 */
export function tank(day) {
  return JSON.parse(tankText(day));
}

/** @param {TankDay | string} day */
export function tankText(day) {
  return answer(engine().tank, day);
}

/**
 * @param {IonFit | string} fit
 * @returns {FittedIons}
 */
export function fitIons(fit) {
  return JSON.parse(fitIonsText(fit));
}

/** @param {IonFit | string} fit */
export function fitIonsText(fit) {
  return answer(engine().fitIons, fit);
}

/**
 * @param {EquilibriumInput | string} water
 * @returns {Equilibrium}
 */
export function equilibrium(water) {
  return JSON.parse(equilibriumText(water));
}

/** @param {EquilibriumInput | string} water */
export function equilibriumText(water) {
  return answer(engine().equilibrium, water);
}

/** @returns {Record<string, BrewDay>} */
export function examples() {
  return JSON.parse(engine().examples());
}

/** @returns {Names} */
export function names() {
  return JSON.parse(engine().names());
}

/** @returns {Record<ErrorCode, string>} */
export function errorCodes() {
  return JSON.parse(engine().errorCodes());
}

/** @returns {Record<FindingCode, string>} */
export function findingCodes() {
  return JSON.parse(engine().findingCodes());
}

/** @returns {Record<TankFindingCode, string>} */
export function tankFindingCodes() {
  return JSON.parse(engine().tankFindingCodes());
}

/** @returns {string} */
export function version() {
  return engine().version();
}
