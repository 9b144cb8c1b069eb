/** Underlet: water reports, in a library of their own, so that who only plans need not load it. */

import type { WasmSource } from './index.js';
import type { Finding, Water, WaterReport } from './types.js';

export { InputError, type ErrorCode, type WasmSource } from './index.js';
export type * from './types.js';

/** Stable short code of a finding about a water report. */
export type FindingCode = Finding['code'];

/**
 * Loads what looks at reports; needed once in browsers and workers before any other call, and without effect in Node.
 *
 * @param source Where `water_bg.wasm` is, if not beside the package's own files.
 */
export function init(source?: WasmSource): Promise<void>;

/**
 * Looks at a water report: its entries in one unit each and as they were written, what follows from them, what is odd, and what
 * the water is today by it and, where it has one, by the `bench` of this morning.
 *
 * @param report The report as an object, or its JSON text.
 * @throws {InputError} When something cannot be read; values that contradict each other are findings instead.
 */
export function water(report: WaterReport | string): Water;

/** The same as {@link water} as compact JSON text, byte for byte what every face of the engine writes. */
export function waterText(report: WaterReport | string): string;

/** Every code of a finding with one line on what it means. */
export function findingCodes(): Record<FindingCode, string>;
