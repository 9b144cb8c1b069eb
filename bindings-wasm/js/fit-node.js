// Fits of ions in Node: the library is loaded with the import.

import { readFileSync } from 'node:fs';

import { initSync } from './wasm/fit.js';

export { InputError } from './engine.js';
export { fitIons, fitIonsText } from './ions.js';

initSync({ module: readFileSync(new URL('./wasm/fit_bg.wasm', import.meta.url)) });

/** Here the library is loaded already; browsers need this call. */
export async function init() {}
