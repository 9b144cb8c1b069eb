/** Underlet: plans on paper, in a library of their own, for who prints one, fresh or kept. */

import type { WasmSource } from './index.js';
import type { Plan } from './types.js';

export { InputError, type ErrorCode, type WasmSource } from './index.js';
export type * from './types.js';

/**
 * Loads what prints; needed once in browsers and workers before any other call, and without effect in Node.
 *
 * @param source Where `sheet_bg.wasm` is, if not beside the package's own files.
 */
export function init(source?: WasmSource): Promise<void>;

/**
 * The printable sheet of a plan: a whole HTML page for A4 or Letter.
 *
 * @param plan The plan as an object, or its JSON text.
 * @throws {InputError} When it is no plan, or lacks what the sheet shows.
 */
export function sheetOf(plan: Plan | string): string;
