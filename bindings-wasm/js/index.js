// The entry point for browsers, workers and bundlers: after `await init()`, every other call is
// synchronous.

import { load } from './engine.js';

export {
  codes, diagnose, diagnoseText, equilibrium, equilibriumText, examples, fitIons, fitIonsText,
  InputError, names, plan, planText, renderSheet, tank, tankText, targetsFor, validate, version, water,
  waterText,
} from './engine.js';

/** @import { WasmSource } from './index.js' */

/** @type {Promise<void> | undefined} */
let loading;

/**
 * Calling it again does nothing; after a failure it tries again.
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
