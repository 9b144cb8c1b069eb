// Fits of ions in browsers, workers and bundlers: call `await init()` once, then everything else is immediate.

import { once } from './engine.js';
import load from './wasm/fit.js';

export { InputError } from './engine.js';
export { fitIons, fitIonsText } from './ions.js';

export const init = once(load);
