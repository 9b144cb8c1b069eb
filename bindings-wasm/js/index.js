// Planning in browsers, workers and bundlers: call `await init()` once, then everything else is immediate.

import { once } from './engine.js';
import load from './wasm/planning.js';

export { InputError } from './engine.js';
export { errorCodes, examples, names, plan, planText, sheet, version } from './planning.js';

export const init = once(load);
