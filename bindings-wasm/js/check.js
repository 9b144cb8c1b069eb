// Readings in browsers, workers and bundlers: call `await init()` once, then everything else is immediate.

import { once } from './engine.js';
import load from './wasm/check.js';

export { InputError } from './engine.js';
export { check, checkText } from './diagnoses.js';

export const init = once(load);
