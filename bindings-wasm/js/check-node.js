// Readings in Node: the library is loaded with the import.

import { readFileSync } from 'node:fs';

import { initSync } from './wasm/check.js';

export { InputError } from './engine.js';
export { check, checkText } from './diagnoses.js';

initSync({ module: readFileSync(new URL('./wasm/check_bg.wasm', import.meta.url)) });

/** Here the library is loaded already; browsers need this call. */
export async function init() {}
