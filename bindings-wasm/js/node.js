// The entry point for Node: the import loads the engine.

import { readFileSync } from 'node:fs';

import { loadSync } from './engine.js';

export {
  codes, diagnose, diagnoseText, equilibrium, equilibriumText, examples, fitIons, fitIonsText,
  InputError, names, plan, planText, renderSheet, tank, tankText, targetsFor,
  validate, version, water, waterText,
} from './engine.js';

loadSync(readFileSync(new URL('./wasm/underlet_bg.wasm', import.meta.url)));

/** Does nothing: the engine is loaded already. Browsers need this call. */
export async function init() {}
