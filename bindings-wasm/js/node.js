// The entry for Node: the engine is loaded with the import.

import { readFileSync } from 'node:fs';

import { loadSync } from './engine.js';

export {
  check, checkText, equilibrium, equilibriumText, errorCodes, examples, findingCodes, fitIons,
  fitIonsText, InputError, names, plan, planText, sheet, tank, tankFindingCodes, tankText, version,
  water, waterText,
} from './engine.js';

loadSync(readFileSync(new URL('./wasm/underlet_bg.wasm', import.meta.url)));

/** Here the engine is loaded already; browsers need this call. */
export async function init() {}
