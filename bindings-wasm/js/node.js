// Entry for Node: the engine is loaded with the import.

import { readFileSync } from 'node:fs';

import { initSync } from './wasm/underlet.js';

export { InputError, errorCodes, examples, findingCodes, names, plan, planText, sheet, version, water, waterText } from './engine.js';

initSync({ module: readFileSync(new URL('./wasm/underlet_bg.wasm', import.meta.url)) });

/** Here the engine is loaded already; browsers need this call. */
export async function init() {}
