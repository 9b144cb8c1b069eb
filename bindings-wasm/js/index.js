// Entry for browsers, workers and bundlers: call `await init()` once, then everything else is immediate.

import load from './wasm/underlet.js';

export { InputError, errorCodes, examples, findingCodes, names, plan, planText, sheet, version, water, waterText } from './engine.js';

/** @type {Promise<void> | undefined} */
let loading;

/**
 * Loads the engine; calling it again is harmless, and after a failure it tries anew.
 *
 * @param {URL | Request | Response | BufferSource | WebAssembly.Module} [source] Where the wasm file is, if not
 *   beside this one.
 * @returns {Promise<void>}
 */
export function init(source) {
  loading ??= load(source === undefined ? undefined : { module_or_path: source }).then(
    () => undefined,
    (/** @type {unknown} */ failure) => {
      loading = undefined;
      throw failure;
    },
  );
  return loading;
}
