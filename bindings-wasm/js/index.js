// The entry for browsers, workers and bundlers: call `await init()` once, then everything else is
// immediate.

import { load } from './engine.js';

export {
  check, checkText, codes, equilibrium, equilibriumText, examples, fitIons, fitIonsText, InputError,
  names, plan, planText, sheet, tank, tankText, validate, version, water, waterText,
} from './engine.js';

/** @import { WasmSource } from './index.js' */

/** @type {Promise<void> | undefined} */
let loading;

/**
 * Calling it again is harmless, and after a failure it tries anew.
 *
 * @param {WasmSource} [source]
 * @returns {Promise<void>}
 */
export function init(source) {
  loading ??= load(source).catch((failure) => {
    loading = undefined;
    throw failure;
  });
  return loading;
}
