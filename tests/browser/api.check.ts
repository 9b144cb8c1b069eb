// Checked by tsc, never run: the declared types against the code they describe, and against use.

import type * as declared from '../../bindings-wasm/js/index.js';
import * as engine from '../../bindings-wasm/js/engine.js';
import {
  type BrewDay, codes as listed, diagnose, equilibrium, type EquilibriumInput, fitIons, InputError, type IonFit, plan,
  type Readings, renderSheet, tank, type TankDay, targetsFor, validate, water, type WaterReport,
} from '../../bindings-wasm/js/index.js';

export const theEngineKeepsItsDeclaration: Omit<typeof declared, 'init' | 'InputError'> = engine;
export const theErrorKeepsItsDeclaration: declared.InputError =
  new engine.InputError([]) as engine.InputError & { name: 'InputError' };

const day: BrewDay = {
  underlet: 1,
  name: 'Tideline porter',
  sources: [{ name: 'well', calcium: '80 mg/L', alkalinity: { value: 120, unit: 'mg/L as CaCO3' }, ph: 7.2 }],
  grist: [{ malt: 'pale ale malt', mass: '30 kg' }],
  mash: { liquor: '90 L', liquor_temperature: '72 °C', rest_temperature: '66 °C' },
  targets: { calcium: '50-120 mg/L', mash_ph: { low: 5.3, high: 5.5 } },
  shelf: [{ reagent: 'gypsum', step: '1 g' }],
};

const { targets, sparge, additions } = plan(day);
for (const target of targets) {
  const words: Record<typeof target.state, string> = { met: '', below: '', above: '', unknown: '', free: '' };
  const low: number | null = target.low;
  console.log(words[target.state], low);
}
export const alkalinity: number | undefined = sparge?.alkalinity_mg_l_caco3;
export const places: ('hot_liquor_tank' | 'mash_liquor' | 'mash_tun' | 'sparge_liquor' | 'kettle')[] = additions.map(({ vessel }) => vessel);

export const printed: string[] = [renderSheet(plan(day)), renderSheet('{}')];

// @ts-expect-error: a brew day is no plan yet
renderSheet(day);
plan({ ...day, brewhouse: { name: 'Ninefold Quay', tun_dead_volume: '12 L', meters: ['ph'] }, recipe_scale: 0.25, brews: 2 });
plan({ ...day, brewhouse: 'Ninefold Quay' });
// @ts-expect-error: a meter that no plan predicts
plan({ ...day, brewhouse: { meters: ['refractometer'] } });
// @ts-expect-error: a day says which format it is written in
plan({ ...day, underlet: undefined });
// @ts-expect-error: an unknown key
plan({ ...day, grits: [] });
plan({ ...day, document: 'brew-day', id: 'brew 7', note: 'first of the week', 'x-own': { any: ['value'] } });
// @ts-expect-error: a plan is no brew day
plan({ ...day, document: 'plan' });
export const attached: [string | null, string, unknown] = [plan(day).id, plan(day).engine, plan(day)['x-own']];
validate('plan', plan(day));
// @ts-expect-error: no kind of document
validate('barrel', day);
export const meaning: string = listed().reason.whole_steps;
// Targets of a family are those of a day.
plan({ ...day, targets: { ...targetsFor('mild').targets, calcium: '60-120 mg/L' } });
// @ts-expect-error: a number is not a day
plan(5);

const report: WaterReport = {
  underlet: 1,
  name: 'well',
  sampled: '2025-11-03',
  calcium: { low: 70, high: '90', unit: 'mg/L' },
  nitrate: 'n.d.',
  ph: 7.4,
};
const { entries, findings } = water(report);
export const shown: string[] = entries.map(({ display, below }) => (below === null ? display : `below ${below}`));
export const doubts = findings.filter(({ code, severity }) => code === 'ions_missing' && severity !== 'note');

const reconciled = water({ ...report, bench: { alkalinity_titration: { sample: '100 mL', acid: 0.02, used: 18.4 }, ph: 7.6 } });
export const today: string[] = reconciled.reconciled?.estimates.map(({ display }) => display) ?? [reconciled.reconciliation_error ?? ''];
export const doubted: string[] = reconciled.mistakes.map(({ kind, text }) => (kind === 'sulfur_read_as_sulfate' ? text : ''));
export const origins: ('report' | 'bench' | 'usual')[] = reconciled.reconciled?.measurements.map(({ origin }) => origin) ?? [];
const liquor = reconciled.reconciled?.liquor;
if (liquor) plan({ ...day, sources: [{ name: 'well', liquor, max_amount: '9 hL' }] });

// @ts-expect-error: a titration says how much it took
water({ ...report, bench: { alkalinity_titration: { sample: '100 mL', acid: 0.02 } } });
// @ts-expect-error: a report has no malts
water({ ...report, grist: [] });

const fit: IonFit = {
  underlet: 1,
  source: { name: 'well', calcium: '80 mg/L', alkalinity: 120 },
  dilution: { name: 'osmosis', alkalinity: 0, max_amount: '5 hL' },
  volume: '10 hL',
  targets: { calcium: { low: 50, high: 90, prefer: 70 }, sulfate_to_chloride: '1-2', alkalinity: [null, 80] },
  shelf: [{ reagent: 'gypsum', step: '1 g' }],
  max_salts: 2,
};
const fitted = fitIons(fit);
export const weighed: string[] = fitted.salts.map(({ display, name }) => `${display} ${name}`);
export const missed: string[] = fitted.water.filter(({ state }) => state === 'below' || state === 'above').map(({ key }) => key);

// @ts-expect-error: a fit of ions has no mash
fitIons({ ...fit, targets: { mash_ph: 5.4 } });

const readings: Readings = {
  underlet: 1,
  brew_day: day,
  readings: [
    { known: 'pH 7.00', meter: 'ph', value: 7.02 },
    { place: 'mash', meter: 'temperature', value: { value: 151, unit: '°F' }, probe: 'second' },
  ],
};
const { verdict, explanations, compared } = diagnose(readings);
const said: Record<typeof verdict, string> = {
  as_expected: '', outside_forecast: '', outside_range: '', doubtful: '', fault: '',
  indistinguishable: '', unexplained: '',
};
export const slips: string[] = explanations.map(({ code, addition }) => (code === 'swapped' ? addition?.swapped_for ?? '' : said[verdict]));
export const off: number[] = compared.filter(({ as_expected }) => !as_expected).map(({ off_by }) => off_by);

// @ts-expect-error: a reading has a meter
diagnose({ ...readings, readings: [{ place: 'mash', value: 5.4 }] });

export function codes(error: unknown): string[] {
  if (!(error instanceof InputError)) return [];
  // @ts-expect-error: no such code
  if (error.code === 'nonsense') return [];
  return error.problems.map(({ code }) => code);
}

const monday: TankDay = {
  underlet: 1,
  name: 'Monday',
  tank: { capacity: '12 hL', dead_volume: 60, scale: 'coated', rates: { film: 1 } },
  supplies: [{ name: 'well', calcium: '110 mg/L', alkalinity: 260, inlet_temperature: '12 °C' }],
  lines: [
    { work: 'fill', supply: 'well', volume: '10 hL' },
    { work: 'heat', temperature: '78 °C', duration: '3 h', label: 'timer' },
    { work: 'draw', volume: '400 L', to: 'mash', label: 'strike' },
  ],
};
const ledger = tank(monday);
const strike = ledger.lines.find(({ drawn }) => drawn?.to === 'mash')?.drawn;
if (strike) plan({ ...day, sources: [{ name: 'strike', liquor: strike.liquor }] });
tank({ ...monday, heel: ledger.heel });
export const warned = ledger.findings.filter(({ code }) => code === 'acid_before_heating').map(({ numbers }) => numbers[0]?.value);

// @ts-expect-error: a line says what is done
tank({ ...monday, lines: [{ duration: 1 }] });

const question: EquilibriumInput = { calcium: 110, alkalinity: '260 mg/L as CaCO3', ph: 7.3 };
const well = equilibrium({ ...question, temperature: { value: 54, unit: '°F' } });
export const calcite: number | undefined = well.saturation_indices.calcite;
export const perCalcium: number | undefined = well.sensitivities.calcite?.calcium;
export const pressure: number | null = well.log10_pco2;
// Results can be arguments.
export const heated: number = equilibrium({
  calcium: 110, alkalinity: well.alkalinity, total_carbon: well.total_carbon, temperature: 78,
}).ph;

// @ts-expect-error: malt is no part of a water
equilibrium({ ...question, malt: 'pale ale malt' });
