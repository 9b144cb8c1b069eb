// Plans on paper, asked of the library `sheet`.

import { answer } from './engine.js';
import * as wasm from './wasm/sheet.js';

/** @import { Plan } from './sheet.js' */

/** @param {Plan | string} plan */
export function sheetOf(plan) {
  return answer(wasm.sheet, plan);
}
