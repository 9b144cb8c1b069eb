/** Underlet: what the readings of a brew day say, in a library of its own, so that who only plans need not load it. */

import type { WasmSource } from './index.js';
import type { Diagnosis, Readings } from './types.js';

export { InputError, type ErrorCode, type WasmSource } from './index.js';
export type * from './types.js';

/**
 * Loads what looks at readings; needed once in browsers and workers before any other call, and without effect in Node.
 *
 * @param source Where `check_bg.wasm` is, if not beside the package's own files.
 */
export function init(source?: WasmSource): Promise<void>;

/**
 * Compares what the meters said with what they should say on a brew day: which single explanation (nothing wrong, a slip with one
 * addition, one probe off) fits best, each with its probability, and each reading beside what it should be.
 *
 * @param readings The brew day and the readings as an object, or its JSON text.
 * @throws {InputError} When something cannot be read, or the day does not foretell it; all problems are told together.
 */
export function check(readings: Readings | string): Diagnosis;

/** The same as {@link check} as compact JSON text, byte for byte what every face of the engine writes. */
export function checkText(readings: Readings | string): string;
