// Days of the liquor tank, asked of the library `tank`.

import { answer } from './engine.js';
import { TANK_FINDING_CODES } from './findings.js';
import * as wasm from './wasm/tank.js';

/** @import { TankDay, TankFindingCode, TankLedger } from './tank.js' */

/**
 * @param {TankDay | string} day
 * @returns {TankLedger}
 */
export function tank(day) {
  return JSON.parse(tankText(day));
}

/** @param {TankDay | string} day */
export function tankText(day) {
  return answer(wasm.tank, day);
}

/** @returns {Record<TankFindingCode, string>} */
export function tankFindingCodes() {
  return structuredClone(TANK_FINDING_CODES);
}
