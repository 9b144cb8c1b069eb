// The brew day on the page is the document itself, so keys without a field on the page are kept.

import { rangeObject } from './quantity.js';

/** @typedef {Record<string, unknown>} Part */
/** @typedef {Part & { tank: Part, supplies: Part[], lines: Part[] }} TankDay */
/**
 * The brew day, its meter readings, and the liquor tank's day.
 *
 * @typedef {Part & { sources: Part[], grist: Part[], shelf: Part[], mash: Part, targets: Part, readings?: Part[], tank_day?: TankDay }} Day
 */

/** @typedef {(day: Day, words: string, focus?: string) => void} Replace Replaces this day with another, and says so. */

/**
 * @param {unknown} value
 * @returns {value is Part}
 */
export function isPart(value) {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/**
 * @param {unknown} value
 * @returns {value is Part[]}
 */
function isList(value) {
  return Array.isArray(value) && value.every(isPart);
}

/**
 * @param {unknown} value
 * @returns {value is TankDay}
 */
function isTankDay(value) {
  return isPart(value) && isPart(value.tank) && isList(value.supplies) && isList(value.lines);
}

/**
 * A day that the form can show, or `undefined` where the value has another shape.
 *
 * @param {unknown} value
 * @returns {Day | undefined}
 */
export function asDay(value) {
  if (!isPart(value)) return undefined;
  const { sources, grist, shelf, mash, targets, hot_liquor_tank: tank, sparge, readings, tank_day } = value;
  if (!isList(sources) || !isList(grist) || !isList(shelf) || !isPart(mash) || !isPart(targets)) return undefined;
  if (![tank, sparge].every((part) => part === undefined || isPart(part))) return undefined;
  if (readings !== undefined && !isList(readings)) return undefined;
  if (tank_day !== undefined && !isTankDay(tank_day)) return undefined;
  const ranges = Object.fromEntries(Object.entries(targets).map(([key, range]) => [key, rangeObject(range)]));
  return { ...value, sources, grist, shelf, mash, targets: ranges, ...(readings && { readings }), ...(tank_day && { tank_day }) };
}

/**
 * The brew day alone, as the engine takes it.
 *
 * @param {Day} day
 */
export function brewOf({ readings: _, tank_day: __, ...brew }) {
  return brew;
}

/** @typedef {(string | number)[]} Path */

/**
 * A path as the engine writes it, such as `grist[1].mass`.
 *
 * @param {Path} path
 */
export function pathText(path) {
  return path.map((step, i) => (typeof step === 'number' ? `[${step}]` : `${i > 0 ? '.' : ''}${step}`)).join('');
}

/**
 * @param {unknown} from
 * @param {Path} path
 * @returns {unknown}
 */
export function get(from, path) {
  let here = from;
  for (const step of path) {
    if (typeof here !== 'object' || here === null) return undefined;
    here = /** @type {Record<string | number, unknown>} */ (here)[step];
  }
  return here;
}

/**
 * Sets the value at a path, making objects on the way; `undefined` removes it.
 *
 * @param {object} into
 * @param {Path} path
 * @param {unknown} value
 */
export function set(into, path, value) {
  let here = /** @type {Record<string | number, unknown>} */ (into);
  for (const step of path.slice(0, -1)) {
    const next = here[step];
    if (typeof next !== 'object' || next === null) here[step] = {};
    here = /** @type {Record<string | number, unknown>} */ (here[step]);
  }
  const last = path.at(-1);
  if (last === undefined) return;
  if (value === undefined) delete here[last];
  else here[last] = value;
}

/**
 * The day as the part of an address after `#`.
 *
 * @param {Day} day
 */
export function toFragment(day) {
  const bytes = new TextEncoder().encode(JSON.stringify(day));
  const letters = Array.from(bytes, (byte) => String.fromCharCode(byte)).join('');
  return `#day=${btoa(letters).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '')}`;
}

/**
 * The day in an address, `undefined` where there is none, or `null` where it cannot be read.
 *
 * @param {string} fragment
 * @returns {Day | null | undefined}
 */
export function fromFragment(fragment) {
  const coded = /^#day=([\w-]*)$/.exec(fragment)?.[1];
  if (coded === undefined) return undefined;
  try {
    const letters = atob(coded.replaceAll('-', '+').replaceAll('_', '/'));
    const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
    return asDay(JSON.parse(new TextDecoder().decode(bytes))) ?? null;
  } catch {
    return null;
  }
}
