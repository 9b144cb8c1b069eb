/** Underlet: brewhouse water chemistry: brew days; `underlet/water` has the water reports. Documents are described in `types.d.ts`, made from the engine's JSON Schemas. */

import type { BrewDay, Plan, Problem } from './types.js';

export type * from './types.js';

/** Stable short code of a problem. */
export type ErrorCode = Problem['code'];

/** The names the engine knows, for lists to choose from. */
export interface Names {
  /** Classes of malt and adjunct. */
  malts: string[];
  /** Reagents: key in documents, name for people, the unit of a dose, and the strength or assay they usually have. */
  reagents: { key: string; name: string; unit: 'g' | 'mL'; usual_strength_percent: number }[];
  /** Keys of the ions a report or a target may name. */
  ions: string[];
  /** Keys of the quantities whose limits are watched. */
  watched: string[];
}

/** An input that cannot be used: every problem, each with the path of its field. */
export class InputError extends Error {
  constructor(problems: readonly Problem[]);
  readonly name: 'InputError';
  /** The problems, first field first; at least one. */
  readonly problems: readonly Readonly<Problem>[];
  /** Code of the first problem. */
  readonly code: ErrorCode;
}

/** Where a wasm file is, or what it holds. */
export type WasmSource = URL | Request | Response | BufferSource | WebAssembly.Module;

/**
 * Loads the planning; needed once in browsers and workers before any other call, and without effect in Node.
 *
 * @param source Where `planning_bg.wasm` is, if not beside the package's own files.
 */
export function init(source?: WasmSource): Promise<void>;

/**
 * Plans a brew day.
 *
 * @param day The brew day as an object, or its JSON text.
 * @throws {InputError} When the day cannot be used; all problems are told together.
 */
export function plan(day: BrewDay | string): Plan;

/** The same plan as {@link plan} as compact JSON text, byte for byte what every face of the engine writes. */
export function planText(day: BrewDay | string): string;

/**
 * The printable sheet of a brew day as an HTML document. A library of its own prints: in browsers and workers call the `init` of
 * `underlet/sheet` too, which also prints a plan that is there already.
 */
export function sheet(day: BrewDay | string): string;

/** The built-in brew days by key. */
export function examples(): Record<string, BrewDay>;

/** Every error code with one line on what it means. */
export function errorCodes(): Record<ErrorCode, string>;

/** The names the engine knows. */
export function names(): Names;

/** The engine's version. */
export function version(): string;
