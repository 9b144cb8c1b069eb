// Brew days, asked of the library `planning`.

import { answer } from './engine.js';
import { ERROR_CODES, EXAMPLES, NAMES } from './texts.js';
import * as wasm from './wasm/planning.js';

/** @import { BrewDay, ErrorCode, Names, Plan } from './index.js' */

/**
 * @param {BrewDay | string} day
 * @returns {Plan}
 */
export function plan(day) {
  return JSON.parse(planText(day));
}

/** @param {BrewDay | string} day */
export function planText(day) {
  return answer(wasm.plan, day);
}

/** @param {BrewDay | string} day */
export function sheet(day) {
  return answer(wasm.sheet, day);
}

/** @returns {Record<string, BrewDay>} */
export function examples() {
  return structuredClone(EXAMPLES);
}

/** @returns {Record<ErrorCode, string>} */
export function errorCodes() {
  return structuredClone(ERROR_CODES);
}

/** @returns {Names} */
export function names() {
  return structuredClone(NAMES);
}

/** @returns {string} */
export function version() {
  return wasm.version();
}
