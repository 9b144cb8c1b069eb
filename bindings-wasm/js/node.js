// Planning in Node: the library is loaded with the import, and what prints with it.

import { readFileSync } from 'node:fs';

import { initSync } from './wasm/planning.js';
import { initSync as initSheet } from './wasm/sheet.js';

export { InputError } from './engine.js';
export { errorCodes, examples, names, plan, planText, sheet, version } from './planning.js';

initSync({ module: readFileSync(new URL('./wasm/planning_bg.wasm', import.meta.url)) });
initSheet({ module: readFileSync(new URL('./wasm/sheet_bg.wasm', import.meta.url)) });

/** Here the library is loaded already; browsers need this call. */
export async function init() {}
