// Plans on paper in Node: the library is loaded with the import.

import { readFileSync } from 'node:fs';

import { initSync } from './wasm/sheet.js';

export { InputError } from './engine.js';
export { sheetOf } from './sheets.js';

initSync({ module: readFileSync(new URL('./wasm/sheet_bg.wasm', import.meta.url)) });

/** Here the library is loaded already; browsers need this call. */
export async function init() {}
