/**
 * Underlet: brewhouse water chemistry. Documents are described in `types.d.ts`, made from the
 * engine's JSON Schemas.
 */

import type {
  Alternative, BindingLimit, BrewDay, Caution, Contribution, Diagnosis, DiagnosisExplanation,
  Equilibrium, EquilibriumInput, Finding, FittedIons, IonFit, Plan, Problem, Readings, Reason,
  ReconciledRemark, TankDay, TankDrawn, TankFinding, TankLedger, TankLine, TargetLine, Water,
  WaterMistake, WaterReport,
} from './types.js';

export type * from './types.js';

/** Stable short code of a problem. */
export type ErrorCode = Problem['code'];

/** Stable short code of a finding about a water report. */
export type FindingCode = Finding['code'];

/** A kind of document, as documents state it. */
export type DocumentKind = NonNullable<(
  BrewDay | Diagnosis | Equilibrium | EquilibriumInput | FittedIons | IonFit | Plan | Readings
  | TankDay | TankLedger | Water | WaterReport
)['document']>;

/** Lists of codes and keys, each with one line on what it means. */
export interface Codes {
  /** Of problems. */
  error: Record<ErrorCode, string>;
  /** Kinds of documents. */
  document: Record<DocumentKind, string>;
  /** Of findings about a water report. */
  finding: Record<FindingCode, string>;
  /** Of mistaken bases in a water report. */
  mistake: Record<WaterMistake['kind'], string>;
  /** Of remarks on a reconciled liquor. */
  remark: Record<ReconciledRemark['code'], string>;
  /** Of reasons. */
  reason: Record<Reason['code'], string>;
  /** Of cautions. */
  caution: Record<Caution['code'], string>;
  /** Of what limits a plan. */
  limit: Record<BindingLimit['code'], string>;
  /** Of alternatives. */
  alternative: Record<Alternative['code'], string>;
  /** Keys of targets. */
  target: Record<TargetLine['key'], string>;
  /** Causes in an uncertainty budget. */
  uncertainty_cause: Record<Contribution['cause'], string>;
  /** Of verdicts on readings. */
  verdict: Record<Diagnosis['verdict'], string>;
  /** Of explanations of readings. */
  explanation: Record<DiagnosisExplanation['code'], string>;
  /** Of findings about a tank. */
  tank_finding: Record<TankFinding['code'], string>;
  /** Works of a tank. */
  work: Record<TankLine['work'], string>;
  /** Where liquor is drawn to. */
  destination: Record<TankDrawn['to'], string>;
}

/** Key of a built-in brew day. */
export type ExampleKey = 'pale-ale-10hl' | 'dark-mild-2.5hl' | 'pale-lager-ro';

/** The names the engine knows, for lists to choose from. */
export interface Names {
  /** Classes of malt and adjunct. */
  malts: string[];
  /**
   * Reagents: key in documents, name for people, the unit of a dose, and the strength or assay they
   * usually have.
   */
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

/** Where the wasm file is, or what it holds. */
export type WasmSource = string | URL | Request | Response | BufferSource | WebAssembly.Module;

/**
 * Loads the engine, needed once in browsers and workers: there every other call before it throws
 * an Error. In Node the engine is loaded with the import.
 *
 * @param source Where `underlet_bg.wasm` is, if not beside the package's own files. It is ignored
 * in Node and, in browsers, once the engine is loading or loaded.
 * @throws {Error} When the file cannot be loaded; another call then tries anew.
 */
export function init(source?: WasmSource): Promise<void>;

/**
 * Plans a brew day.
 *
 * @param day The brew day as an object, or its JSON text.
 * @throws {InputError} When the day cannot be used; all problems are reported together.
 */
export function plan(day: BrewDay | string): Plan;

/**
 * The same plan as {@link plan} as compact JSON text: the same bytes as in Rust and Python.
 */
export function planText(day: BrewDay | string): string;

/**
 * The printable sheet of a plan: a whole HTML page for A4 or Letter.
 *
 * @param plan The plan as an object, or its JSON text, fresh or kept.
 * @throws {InputError} When it is not a plan document of this version: every key must be there, and
 * no other.
 */
export function sheet(plan: Plan | string): string;

/**
 * Looks at a water report: its entries in one unit each and as they were written, what follows from
 * them, findings, and what the water is today by it and, where it has one, by the `bench` of
 * this morning.
 *
 * @param report The report as an object, or its JSON text.
 * @throws {InputError} When something cannot be read; values that contradict each other are
 * findings instead.
 */
export function water(report: WaterReport | string): Water;

/**
 * The same as {@link water} as compact JSON text: the same bytes as in Rust and Python.
 */
export function waterText(report: WaterReport | string): string;

/**
 * Compares what the meters said with what they should say on a brew day: which single explanation
 * (nothing wrong, a slip with one addition, one probe off) fits best, each with its probability,
 * and each reading beside what it should be.
 *
 * @param readings The brew day and the readings as an object, or its JSON text.
 * @throws {InputError} When something cannot be read, or the day does not foretell it; all problems
 * are reported together.
 */
export function check(readings: Readings | string): Diagnosis;

/**
 * The same as {@link check} as compact JSON text: the same bytes as in Rust and Python.
 */
export function checkText(readings: Readings | string): string;

/**
 * Works a day of the liquor tank through: after each line what stands in the tank and what left it,
 * with error bars; the liquor of each draw as a source of a brew day takes it; what to watch; and
 * the heel, which the next day takes whole.
 *
 * @param day The day as an object, or its JSON text.
 * @throws {InputError} When something cannot be read, or a line cannot be: all problems, each with
 * its path.
 */
export function tank(day: TankDay | string): TankLedger;

/**
 * The same as {@link tank} as compact JSON text: the same bytes as in Rust and Python.
 */
export function tankText(day: TankDay | string): string;

/**
 * Fits ions: which salts, and how much diluting water, bring a water to its ranges, as a scale can
 * weigh it.
 *
 * @param fit The water, the volume, what is wanted and the salts at hand, as an object or its JSON
 * text.
 * @throws {InputError} When it cannot be used; all problems are reported together.
 */
export function fitIons(fit: IonFit | string): FittedIons;

/**
 * The same as {@link fitIons} as compact JSON text: the same bytes as in Rust and Python.
 */
export function fitIonsText(fit: IonFit | string): string;

/**
 * Speciates one water: pH, carbon, saturation and conductivity at equilibrium, with the exact
 * derivatives of each.
 *
 * Two of `alkalinity`, `ph`, `total_carbon` and `log10_pco2` say what is asked: alkalinity and pH
 * as a report gives them; alkalinity and total carbon in a closed tank; alkalinity and a pressure
 * of carbon dioxide in an open one; pH and total carbon. Bare numbers are mg/L of a sample at 20 °C
 * (alkalinity as CaCO3, total carbon as C, silica as SiO2) and °C.
 *
 * @param water What is known of the water, as an object or its JSON text.
 * @throws {InputError} When the values cannot be, do not determine a water, or contradict each
 * other; all problems are reported together.
 */
export function equilibrium(water: EquilibriumInput | string): Equilibrium;

/**
 * The same as {@link equilibrium} as compact JSON text, byte for byte what every face of the engine
 * writes.
 */
export function equilibriumText(water: EquilibriumInput | string): string;

/** The built-in brew days by key. */
export function examples(): Record<ExampleKey, BrewDay>;

/** The names the engine knows. */
export function names(): Names;

/**
 * Checks a document without answering it. A day that cannot be planned, readings of what the day
 * does not foretell, and lines of a tank's day that cannot be are found only by who answers it.
 *
 * @param kind What it should be, such as `brew-day` or `plan`.
 * @param document The document as an object, or its JSON text.
 * @throws {InputError} With every problem of a document that people write, or the first misfit of
 * one that the engine wrote.
 */
export function validate(kind: DocumentKind, document: object | string): void;

/** Every list of codes and keys, each with one line on what it means. */
export function codes(): Codes;

/** The engine's version. */
export function version(): string;
