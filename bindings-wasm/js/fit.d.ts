/** Underlet: ions alone, without a mash, in a library of their own, for programs that need nothing else. */

import type { WasmSource } from './index.js';
import type { FittedIons, IonFit } from './types.js';

export { InputError, type ErrorCode, type WasmSource } from './index.js';
export type * from './types.js';

/**
 * Loads what fits ions; needed once in browsers and workers before any other call, and without effect in Node.
 *
 * @param source Where `fit_bg.wasm` is, if not beside the package's own files.
 */
export function init(source?: WasmSource): Promise<void>;

/**
 * Fits ions: which salts, and how much diluting water, bring a water to its ranges, as a scale can weigh it.
 *
 * @param fit The water, the volume, what is wanted and the salts at hand, as an object or its JSON text.
 * @throws {InputError} When it cannot be used; all problems are told together.
 */
export function fitIons(fit: IonFit | string): FittedIons;

/** The same as {@link fitIons} as compact JSON text, byte for byte what every face of the engine writes. */
export function fitIonsText(fit: IonFit | string): string;
