// Plans on paper in browsers, workers and bundlers: call `await init()` once, then everything else is immediate.

import { once } from './engine.js';
import load from './wasm/sheet.js';

export { InputError } from './engine.js';
export { sheetOf } from './sheets.js';

export const init = once(load);
