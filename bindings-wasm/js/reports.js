// Water reports, asked of the library `water`.

import { answer } from './engine.js';
import { FINDING_CODES } from './findings.js';
import * as wasm from './wasm/water.js';

/** @import { FindingCode, Water, WaterReport } from './water.js' */

/**
 * @param {WaterReport | string} report
 * @returns {Water}
 */
export function water(report) {
  return JSON.parse(waterText(report));
}

/** @param {WaterReport | string} report */
export function waterText(report) {
  return answer(wasm.water, report);
}

/** @returns {Record<FindingCode, string>} */
export function findingCodes() {
  return structuredClone(FINDING_CODES);
}
