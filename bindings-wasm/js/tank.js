// Days of the liquor tank in browsers, workers and bundlers: call `await init()` once, then everything else is immediate.

import { once } from './engine.js';
import load from './wasm/tank.js';

export { InputError } from './engine.js';
export { tank, tankFindingCodes, tankText } from './ledgers.js';

export const init = once(load);
