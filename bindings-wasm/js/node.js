// The entry point for Node: the import loads the engine.

import { readFileSync } from 'node:fs';

import { loadSync } from './engine.js';

export {
  check, checkText, equilibrium, equilibriumText, errorCodes, examples, findingCodes, fitIons,
  fitIonsText, InputError, names, plan, planText, sheet, tank, tankFindingCodes, tankText, version,
  water, waterText,
} from './engine.js';

loadSync(readFileSync(new URL('./wasm/underlet_bg.wasm', import.meta.url)));

/** Does nothing: the engine is loaded already. Browsers need this call. */
export async function init() {}
