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
  /** Families of beer, each with what belongs to it. */
  beer_family: Record<string, string>;
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

/** The names that documents may use. */
export interface Names {
  /** Classes of malt and adjunct. */
  malts: string[];
  /**
   * Reagents: key in documents, name for people, the unit of a dose, the usual strength or assay,
   * and the keys of the vessels it may go into.
   */
  reagents: {
    key: string;
    name: string;
    unit: 'g' | 'mL';
    usual_strength_percent: number;
    vessels: string[];
  }[];
  /** Vessels that reagents go into, in the order of work: key in documents, name for people. */
  vessels: { key: string; name: string }[];
  /** Keys of the ions a report or a target may name. */
  ions: string[];
  /** Keys of the quantities whose limits are watched. */
  watched: string[];
}

/** Targets to begin with for a family of beers. */
export interface FamilyTargets {
  /** Name of the family. */
  family: string;
  /** What belongs to it. */
  description: string;
  /** How much hops weigh in it. */
  hops: 'low' | 'medium' | 'high';
  /** How much malt weighs in it. */
  malt: 'low' | 'medium' | 'high';
  /** Its colour. */
  colour: 'pale' | 'amber' | 'dark';
  /** Ranges by target, as a brew day takes them; change them as you like. */
  targets: { [key in FamilyTargetKey]?: string };
  /** The rule of each target. */
  rules: TargetRule[];
}

/** A target that families of beer have a rule for. */
export type FamilyTargetKey =
  | 'calcium' | 'magnesium' | 'sodium' | 'chloride' | 'sulfate' | 'sulfate_to_chloride' | 'mash_ph'
  | 'sparge_alkalinity';

/** The range of one target and why it is that. */
export interface TargetRule {
  /** Key of the target. */
  target: FamilyTargetKey;
  /** As a brew day takes it, such as "50-200 mg/L" or "at most 100 mg/L". */
  range: string;
  /** Beers that it applies to: "every beer", or those of a trait, such as "malt high". */
  applies_to: string;
  /** The reason, in one or two sentences. */
  why: string;
  /** Where reason and range come from, and how far that was checked. */
  sources: { reference: string; checked: string }[];
}

/** An invalid input: all of its problems, each with the path of its field. */
export class InputError extends Error {
  constructor(problems: readonly Problem[]);
  readonly name: 'InputError';
  /** The problems, in the order of the fields; at least one. */
  readonly problems: readonly Readonly<Problem>[];
  /** Code of the first problem. */
  readonly code: ErrorCode;
}

/** Where the wasm file is, or its content. */
export type WasmSource = string | URL | Request | Response | BufferSource | WebAssembly.Module;

/**
 * Loads the engine. Browsers and workers need it once: every other call before it throws an Error.
 * In Node the engine is loaded with the import.
 *
 * @param source Where `underlet_bg.wasm` is, if not beside the package's own files. It is ignored
 * in Node and, in browsers, once the engine is loading or loaded.
 * @throws {Error} When the file cannot be loaded; another call then tries again.
 */
export function init(source?: WasmSource): Promise<void>;

/**
 * Plans a brew day.
 *
 * @param day The brew day as an object, or its JSON text.
 * @throws {InputError} When the day is invalid; all problems are reported together.
 */
export function plan(day: BrewDay | string): Plan;

/**
 * The same plan as {@link plan} as compact JSON text: the same bytes as in Rust and Python.
 */
export function planText(day: BrewDay | string): string;

/**
 * The printable sheet of a plan: a complete HTML page for A4 or Letter.
 *
 * @param plan The plan as an object, or its JSON text, new or saved.
 * @throws {InputError} When it is not a plan document of this version: it must have every key, and no
 * other.
 */
export function renderSheet(plan: Plan | string): string;

/**
 * Checks a water report: its entries in one unit each and as written, derived figures, findings, and
 * today's water from the report and, where there are any, today's measurements (`bench`).
 *
 * @param report The report as an object, or its JSON text.
 * @throws {InputError} When the report is invalid; values that contradict each other are findings
 * instead.
 */
export function water(report: WaterReport | string): Water;

/**
 * The same as {@link water} as compact JSON text: the same bytes as in Rust and Python.
 */
export function waterText(report: WaterReport | string): string;

/**
 * Diagnoses the meter readings of a brew day: the explanations (nothing wrong, a mistake with one
 * addition, one probe off), each with its probability, and each reading beside the expected one.
 *
 * @param readings The brew day and the readings as an object, or its JSON text.
 * @throws {InputError} When the document is invalid, or the plan predicts no such reading; all
 * problems are reported together.
 */
export function diagnose(readings: Readings | string): Diagnosis;

/**
 * The same as {@link diagnose} as compact JSON text: the same bytes as in Rust and Python.
 */
export function diagnoseText(readings: Readings | string): string;

/**
 * Simulates a day of the liquor tank: after each line what the tank holds and what left it, with
 * error bars; the liquor of each draw as a source of a brew day takes it; what to watch; and the
 * heel, which the next day takes as it is.
 *
 * @param day The day as an object, or its JSON text.
 * @throws {InputError} When the document is invalid or a line is impossible; all problems are
 * reported together.
 */
export function tank(day: TankDay | string): TankLedger;

/**
 * The same as {@link tank} as compact JSON text: the same bytes as in Rust and Python.
 */
export function tankText(day: TankDay | string): string;

/**
 * Fits ions alone: the salts, and the diluting water, that bring a water into its ranges, as a scale
 * can weigh them.
 *
 * @param fit The water, the volume, the targets and the salts at hand, as an object or its JSON
 * text.
 * @throws {InputError} When the document is invalid; all problems are reported together.
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
 * Two of `alkalinity`, `ph`, `total_carbon` and `log10_pco2` determine it: alkalinity and pH as a
 * report states them; alkalinity and total carbon of a closed tank; alkalinity and a pressure of
 * carbon dioxide of an open one; pH and total carbon. Bare numbers are mg/L of a sample at 20 °C
 * (alkalinity as CaCO3, total carbon as C, silica as SiO2) and °C.
 *
 * @param water What is known of the water, as an object or its JSON text.
 * @throws {InputError} When values are impossible, contradict each other or do not determine a
 * water; all problems are reported together.
 */
export function equilibrium(water: EquilibriumInput | string): Equilibrium;

/**
 * The same as {@link equilibrium} as compact JSON text: the same bytes as in Rust.
 */
export function equilibriumText(water: EquilibriumInput | string): string;

/**
 * Targets to begin with for a family of beers, each with its reason and its sources. The ranges are
 * wide: a brewer narrows them for a beer.
 *
 * @param family One of the keys of `codes().beer_family`, such as `pale lager`.
 * @throws {InputError} When there is no such family.
 */
export function targetsFor(family: string): FamilyTargets;

/** The built-in brew days by key. */
export function examples(): Record<ExampleKey, BrewDay>;

/** The names that documents may use. */
export function names(): Names;

/**
 * Checks a document without computing anything. What only the computation finds is not reported: a
 * day that cannot be planned, readings that the day does not predict, lines of a tank's day that
 * cannot be done.
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
