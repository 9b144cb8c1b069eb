// Days of the liquor tank in Node: the library is loaded with the import.

import { readFileSync } from 'node:fs';

import { initSync } from './wasm/tank.js';

export { InputError } from './engine.js';
export { tank, tankFindingCodes, tankText } from './ledgers.js';

initSync({ module: readFileSync(new URL('./wasm/tank_bg.wasm', import.meta.url)) });

/** Here the library is loaded already; browsers need this call. */
export async function init() {}
