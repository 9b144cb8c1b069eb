// The engine in JavaScript: objects to text and back, and problems as Error objects. It has no
// chemistry and makes no decision: the core reads and checks every value. The entry points
// `index.js` and `node.js` load the wasm file, each in its way.

import loadWasm, * as wasm from './wasm/underlet.js';

/**
 * @import {
 *   BrewDay, Codes, Diagnosis, DocumentKind, Equilibrium, EquilibriumInput, ErrorCode, ExampleKey,
 *   FamilyTargets, FittedIons, IonFit, Names, Plan, Problem, Readings, TankDay, TankLedger, WasmSource, Water,
 *   WaterReport,
 * } from './index.js'
 */

/** An invalid input: all of its problems, each with the path of its field. */
export class InputError extends Error {
  /** @param {readonly Problem[]} problems The problems, in the order of the fields; at least one. */
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
function sentence({ code, path, found, expected, hint }) {
  return `${path === '' ? 'the document' : path}: found ${found}; expected ${expected}. ${hint} [${code}]`;
}

/** No document is nested nearly as deeply; deeper objects could exhaust the stack. */
const DEEPEST = 100;

const JSON_VALUES = 'text, a number, true, false, a list or a plain object';

/** A copy of an object as JSON holds it, and the problems of its values. */
class Copy {
  /** @type {Problem[]} */
  problems = [];

  /**
   * `undefined` in an object is left out.
   *
   * @param {unknown} value
   * @param {readonly string[]} path The steps to it, such as `sources`, `[0]` and `.calcium`.
   * @param {readonly object[]} above The objects that contain it.
   * @returns {unknown}
   */
  of(value, path = [], above = []) {
    if (value === null || typeof value === 'boolean') return value;
    if (typeof value === 'string') return this.#text(value, path);
    if (typeof value === 'number') return this.#number(value, path);
    if (typeof value !== 'object') {
      return this.#wrongType(path, kindOf(value), JSON_VALUES, 'Give a value that JSON can hold.');
    }
    if (above.includes(value)) {
      const found = 'an object that contains itself';
      return this.#wrongType(path, found, 'a document without circles', 'Remove the circle.');
    }
    if (above.length >= DEEPEST) {
      const start = [...path.slice(0, 3), '…'];
      const found = 'an object nested too deep';
      return this.#wrongType(start, found, 'at most 100 levels', 'Give the object of a document.');
    }
    const inside = [...above, value];
    if (Array.isArray(value)) {
      return Array.from(value, (item, i) => this.of(item, [...path, `[${i}]`], inside));
    }
    if (hasJson(value)) return this.of(value.toJSON(), path, inside);
    if (isPlain(value)) return this.#entries(value, path, inside);
    const hint = value instanceof Promise ? 'Await it first.' : 'Give a plain object.';
    return this.#wrongType(path, kindOf(value), JSON_VALUES, hint);
  }

  /**
   * @param {object} object
   * @param {readonly string[]} path
   * @param {readonly object[]} inside
   */
  #entries(object, path, inside) {
    const entries = Object.entries(object).filter(([, item]) => item !== undefined);
    return Object.fromEntries(entries.map(([key, item]) => {
      const here = [...path, path.length === 0 ? key : `.${key}`];
      return [this.#text(key, here), this.of(item, here, inside)];
    }));
  }

  /**
   * @param {number} number
   * @param {readonly string[]} path
   */
  #number(number, path) {
    if (Number.isFinite(number)) return number;
    const hint = 'Write a finite number, or leave the key out.';
    return this.#add('not_finite', path, String(number), 'a finite number', hint);
  }

  /**
   * @param {string} text
   * @param {readonly string[]} path
   */
  #text(text, path) {
    if (HALF_A_PAIR.test(text)) this.problems.push(halfAPair(path.join('')));
    return text;
  }

  /**
   * @param {readonly string[]} path
   * @param {string} found
   * @param {string} expected
   * @param {string} hint
   */
  #wrongType(path, found, expected, hint) {
    return this.#add('wrong_type', path, found, expected, hint);
  }

  /**
   * @param {ErrorCode} code
   * @param {readonly string[]} path
   * @param {string} found
   * @param {string} expected
   * @param {string} hint
   */
  #add(code, path, found, expected, hint) {
    this.problems.push({ code, path: path.join(''), found, expected, hint });
    return null;
  }
}

/** A surrogate that is not part of a pair: UTF-8, which the core reads, has none. */
const HALF_A_PAIR = /\p{Surrogate}/u;

/**
 * @param {string} path
 * @returns {Problem}
 */
function halfAPair(path) {
  const found = 'half of a surrogate pair';
  const readable = path.replace(/\p{Surrogate}/gu, '\ufffd');
  const [expected, hint] = ['Unicode text', 'Remove it.'];
  return { code: 'json_syntax', path: readable, found, expected, hint };
}

/**
 * Whether an object has its own JSON form, as a Date has. Not for bytes: the JSON of a Buffer is a
 * list of numbers.
 *
 * @param {object} value
 * @returns {value is { toJSON: () => unknown }}
 */
function hasJson(value) {
  return 'toJSON' in value && typeof value.toJSON === 'function' && !ArrayBuffer.isView(value);
}

/**
 * Whether an object has no class, in this window or in another.
 *
 * @param {object} value
 */
function isPlain(value) {
  const prototype = Object.getPrototypeOf(value);
  return prototype === null || Object.getPrototypeOf(prototype) === null;
}

/** @param {unknown} value */
function kindOf(value) {
  if (value === undefined) return 'undefined';
  const name = typeof value === 'object' ? value?.constructor?.name : typeof value;
  if (!name) return 'an object of a class';
  return /^[aeiou]/i.test(name) ? `an ${name}` : `a ${name}`;
}

/**
 * The text of a document: text as it is, an object written as JSON.
 *
 * @param {unknown} document
 * @returns {string}
 */
function textOf(document) {
  if (typeof document === 'string') {
    if (HALF_A_PAIR.test(document)) throw new InputError([halfAPair('')]);
    return document;
  }
  if (typeof document !== 'object') {
    const hint = 'Give the object of a document, or its JSON text.';
    const found = kindOf(document);
    throw new InputError([{ code: 'wrong_type', path: '', found, expected: 'a document', hint }]);
  }
  const copy = new Copy();
  const held = copy.of(document);
  if (copy.problems.length > 0) throw new InputError(copy.problems);
  return JSON.stringify(held);
}

let isLoaded = false;

const BESIDE = 'If a bundler left it behind, pass its address: init(url). '
  + 'The README of the package shows how, under "Bundlers".';
const GIVEN = 'init takes the address of the file as text, URL or Request, a Response, '
  + 'the bytes of the file, or a compiled WebAssembly.Module.';

/**
 * Loads the wasm file, by default from the folder of the package.
 *
 * @param {WasmSource} [source]
 */
export async function load(source) {
  try {
    await loadWasm(source === undefined ? undefined : { module_or_path: source });
  } catch (failure) {
    const hint = source === undefined ? BESIDE : GIVEN;
    const words = `underlet_bg.wasm could not be loaded (${failure}). ${hint}`;
    throw new Error(words, { cause: failure });
  }
  isLoaded = true;
}

/** @param {BufferSource} bytes The content of the wasm file. */
export function loadSync(bytes) {
  wasm.initSync({ module: bytes });
  isLoaded = true;
}

function engine() {
  if (!isLoaded) throw new Error('The engine is not loaded: await init() before any other call.');
  return wasm;
}

/**
 * Calls the core; an input that it refuses is thrown as an {@link InputError}.
 *
 * @template T
 * @param {(text: string) => T} ask
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
export function renderSheet(plan) {
  return answer(engine().renderSheet, plan);
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
export function diagnose(readings) {
  return JSON.parse(diagnoseText(readings));
}

/** @param {Readings | string} readings */
export function diagnoseText(readings) {
  return answer(engine().diagnose, readings);
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

/**
 * @param {string} family
 * @returns {FamilyTargets}
 */
export function targetsFor(family) {
  return JSON.parse(answer(engine().targetsFor, family));
}

/** @returns {Record<ExampleKey, BrewDay>} */
export function examples() {
  return JSON.parse(engine().examples());
}

/** @returns {Names} */
export function names() {
  return JSON.parse(engine().names());
}

/** @returns {Codes} */
export function codes() {
  return JSON.parse(engine().codes());
}

/**
 * @param {DocumentKind} kind
 * @param {object | string} document
 */
export function validate(kind, document) {
  answer((text) => engine().validate(kind, text), document);
}

/** @returns {string} */
export function version() {
  return engine().version();
}
