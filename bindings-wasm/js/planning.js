// Brew days, asked of the library `planning`; their sheets, of the library `sheet`.

import { answer } from './engine.js';
import { sheetOf } from './sheets.js';
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
  return sheetOf(planText(day));
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
