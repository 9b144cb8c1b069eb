// Water reports in browsers, workers and bundlers: call `await init()` once, then everything else is immediate.

import { once } from './engine.js';
import load from './wasm/water.js';

export { InputError } from './engine.js';
export { findingCodes, water, waterText } from './reports.js';

export const init = once(load);
