// Fits of ions, asked of the library `fit`.

import { answer } from './engine.js';
import * as wasm from './wasm/fit.js';

/** @import { FittedIons, IonFit } from './fit.js' */

/**
 * @param {IonFit | string} fit
 * @returns {FittedIons}
 */
export function fitIons(fit) {
  return JSON.parse(fitIonsText(fit));
}

/** @param {IonFit | string} fit */
export function fitIonsText(fit) {
  return answer(wasm.fitIons, fit);
}
