/** Underlet: the ledger of the liquor tank, in a library of its own, so that who only plans need not load it. */

import type { WasmSource } from './index.js';
import type { TankDay, TankFinding, TankLedger } from './types.js';

export { InputError, type ErrorCode, type WasmSource } from './index.js';
export type * from './types.js';

/** Stable short code of what to watch in a tank. */
export type TankFindingCode = TankFinding['code'];

/**
 * Loads what works days of the tank through; needed once in browsers and workers before any other call, and without effect in
 * Node.
 *
 * @param source Where `tank_bg.wasm` is, if not beside the package's own files.
 */
export function init(source?: WasmSource): Promise<void>;

/**
 * Works a day of the liquor tank through: after each line what stands in the tank and what left it, with error bars; the liquor of
 * each draw as a source of a brew day takes it; what to watch; and the heel, which the next day takes whole.
 *
 * @param day The day as an object, or its JSON text.
 * @throws {InputError} When something cannot be read, or a line cannot be: all problems, each with its path.
 */
export function tank(day: TankDay | string): TankLedger;

/** The same as {@link tank} as compact JSON text, byte for byte what every face of the engine writes. */
export function tankText(day: TankDay | string): string;

/** Every code of what to watch in a tank with one line on what it means. */
export function tankFindingCodes(): Record<TankFindingCode, string>;
