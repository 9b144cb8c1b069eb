// Water reports in Node: the library is loaded with the import.

import { readFileSync } from 'node:fs';

import { initSync } from './wasm/water.js';

export { InputError } from './engine.js';
export { findingCodes, water, waterText } from './reports.js';

initSync({ module: readFileSync(new URL('./wasm/water_bg.wasm', import.meta.url)) });

/** Here the library is loaded already; browsers need this call. */
export async function init() {}
