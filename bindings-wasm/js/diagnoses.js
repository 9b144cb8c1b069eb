// Readings of a brew day, asked of the library `check`.

import { answer } from './engine.js';
import * as wasm from './wasm/check.js';

/** @import { Diagnosis, Readings } from './check.js' */

/**
 * @param {Readings | string} readings
 * @returns {Diagnosis}
 */
export function check(readings) {
  return JSON.parse(checkText(readings));
}

/** @param {Readings | string} readings */
export function checkText(readings) {
  return answer(wasm.check, readings);
}
