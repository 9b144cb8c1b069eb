/** Underlet: brewhouse water chemistry. Documents are described in `types.d.ts`, made from the engine's JSON Schemas. */

import type { BrewDay, Finding, Plan, Problem, Water, WaterReport } from './types.js';

export type * from './types.js';

/** Stable short code of a problem. */
export type ErrorCode = Problem['code'];

/** Stable short code of a finding about a water report. */
export type FindingCode = Finding['code'];

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

/**
 * Loads the engine; needed once in browsers and workers before any other call, and without effect in Node.
 *
 * @param source Where `underlet_bg.wasm` is, if not beside the package's own files.
 */
export function init(source?: URL | Request | Response | BufferSource | WebAssembly.Module): Promise<void>;

/**
 * Plans a brew day.
 *
 * @param day The brew day as an object, or its JSON text.
 * @throws {InputError} When the day cannot be used; all problems are told together.
 */
export function plan(day: BrewDay | string): Plan;

/** The same plan as {@link plan} as compact JSON text, byte for byte what every face of the engine writes. */
export function planText(day: BrewDay | string): string;

/** The printable sheet of a brew day as an HTML document. */
export function sheet(day: BrewDay | string): string;

/**
 * Looks at a water report: its entries in one unit each and as they were written, what follows from them, and what is odd.
 *
 * @param report The report as an object, or its JSON text.
 * @throws {InputError} When something cannot be read; values that contradict each other are findings instead.
 */
export function water(report: WaterReport | string): Water;

/** The same as {@link water} as compact JSON text, byte for byte what every face of the engine writes. */
export function waterText(report: WaterReport | string): string;

/** The built-in brew days by key. */
export function examples(): Record<string, BrewDay>;

/** Every error code with one line on what it means. */
export function errorCodes(): Record<ErrorCode, string>;

/** Every code of a finding with one line on what it means. */
export function findingCodes(): Record<FindingCode, string>;

/** The names the engine knows. */
export function names(): Names;

/** The engine's version. */
export function version(): string;
