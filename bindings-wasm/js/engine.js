// What all entries share: loading a library, objects to text and back, and errors as Error objects.
// No chemistry and no decision is made here: the core reads every value and says what is wrong with it.

/** @import { ErrorCode, Problem } from './index.js' */

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
 * A copy of what JSON can hold. Numbers that JSON cannot hold become the texts "NaN", "Infinity" and "-Infinity",
 * which the core names `not_finite`; `undefined` in an object counts as absent.
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
    throw wrongType(path, 'an object nested too deep', 'a brew day', 'Give the object of a brew day.');
  }
  const here = [...above, value];
  if (Array.isArray(value)) return Array.from(value, (item, i) => plain(item, `${path}[${i}]`, here));
  const entries = Object.entries(value).filter(([, item]) => item !== undefined);
  return Object.fromEntries(
    entries.map(([key, item]) => [key, plain(item, path === '' ? key : `${path}.${key}`, here)]),
  );
}

/** No document is nested nearly as deep; deeper ones are refused before they can exhaust the stack. */
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
    throw wrongType('', kindOf(document), 'a brew day', 'Give the object of a brew day, or its JSON text.');
  }
  return JSON.stringify(plain(document, '', []));
}

/**
 * Calls the core; what it refuses is thrown as an {@link InputError}.
 *
 * @param {(text: string) => string} ask
 * @param {unknown} document
 */
export function answer(ask, document) {
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

/** @typedef {URL | Request | Response | BufferSource | WebAssembly.Module} WasmSource */

/**
 * The `init` of a library: calling it again is harmless, and after a failure it tries anew.
 *
 * @param {(place?: { module_or_path: WasmSource }) => Promise<unknown>} load
 * @returns {(source?: WasmSource) => Promise<void>}
 */
export function once(load) {
  /** @type {Promise<void> | undefined} */
  let loading;
  return (source) => {
    loading ??= load(source === undefined ? undefined : { module_or_path: source }).then(
      () => undefined,
      (/** @type {unknown} */ failure) => {
        loading = undefined;
        throw failure;
      },
    );
    return loading;
  };
}
