// The entry for Node: the engine is loaded with the import.

import { readFileSync } from 'node:fs';

import { loadSync } from './engine.js';

export {
  check, checkText, codes, equilibrium, equilibriumText, examples, fitIons, fitIonsText, InputError,
  names, plan, planText, sheet, tank, tankText, validate, version, water, waterText,
} from './engine.js';

loadSync(readFileSync(new URL('./wasm/underlet_bg.wasm', import.meta.url)));

/** Here the engine is loaded already; browsers need this call. */
export async function init() {}
