// The fields of the page: key in the document, label, and the unit of a number that is written without one.

/**
 * `bare` is the unit that the engine assumes for a number without one, where the page shows another.
 *
 * @typedef {{ key: string, label: string, unit: string, bare?: string }} Field
 */

/** @type {(key: string, label: string, unit: string) => Field} */
const field = (key, label, unit) => ({ key, label, unit });

/** @type {readonly Field[]} What nearly every water report states. */
export const WATER = [
  field('calcium', 'Calcium', 'mg/L'),
  field('magnesium', 'Magnesium', 'mg/L'),
  field('sodium', 'Sodium', 'mg/L'),
  field('potassium', 'Potassium', 'mg/L'),
  field('chloride', 'Chloride', 'mg/L'),
  field('sulfate', 'Sulfate', 'mg/L'),
  field('nitrate', 'Nitrate', 'mg/L'),
  field('alkalinity', 'Alkalinity', 'mg/L as CaCO3'),
  field('ph', 'pH', ''),
];

/** @type {readonly Field[]} What some reports state as well. */
export const MORE_WATER = [
  field('bicarbonate', 'Bicarbonate, in place of alkalinity', 'mg/L'),
  field('ammonium', 'Ammonium', 'mg/L'),
  field('iron', 'Iron', 'mg/L'),
  field('manganese', 'Manganese', 'mg/L'),
  field('nitrite', 'Nitrite', 'mg/L'),
  field('fluoride', 'Fluoride', 'mg/L'),
  field('max_amount', 'Most I can draw for this day', 'L'),
];

/** @type {readonly Field[]} What a brew day does not use itself, but today's water is computed with. */
export const REPORT_ONLY = [
  field('hardness', 'Total hardness', 'mg/L as CaCO3'),
  field('dissolved_solids', 'Dissolved solids', 'mg/L'),
  field('conductivity', 'Conductivity', 'µS/cm'),
  field('free_chlorine', 'Free chlorine', 'mg/L'),
  field('total_chlorine', 'Total chlorine', 'mg/L'),
];

/** @type {readonly Field[]} What meters and test strips read today. */
export const BENCH_READ = [
  field('temperature', 'Temperature', '°C'),
  field('alkalinity', 'Alkalinity', 'mg/L as CaCO3'),
  field('hardness', 'Total hardness', 'mg/L as CaCO3'),
  field('conductivity', 'Conductivity', 'µS/cm'),
  field('ph', 'pH', ''),
  field('free_chlorine', 'Free chlorine', 'mg/L'),
  field('total_chlorine', 'Total chlorine', 'mg/L'),
];

const SAMPLE = field('sample', 'Sample', 'mL');
const USED = field('used', 'Used', 'mL');
const DROPS = [field('drops', 'Drops', ''), field('per_drop', 'One drop equals', 'mg/L as CaCO3')];

/** @type {readonly { key: string, label: string, fields: readonly Field[] }[]} Measurements made up of several numbers. */
export const BENCH_WAYS = [
  { key: 'alkalinity_titration', label: 'Alkalinity by acid', fields: [SAMPLE, field('acid', 'Acid', 'mol/L'), USED] },
  { key: 'hardness_titration', label: 'Hardness by EDTA', fields: [SAMPLE, field('edta', 'EDTA', 'mol/L'), USED] },
  { key: 'alkalinity_drops', label: 'Alkalinity by drops', fields: DROPS },
  { key: 'hardness_drops', label: 'Hardness by drops', fields: DROPS },
];

/** @type {readonly Field[]} A lot's own figures, from its certificate or a bench titration. */
export const MALT_LOT = [
  field('ph_in_distilled_water', 'pH in distilled water', ''),
  field('ph_sd', 'Standard deviation of that pH', ''),
  field('buffering', 'Buffering', 'meq/(kg pH)'),
  field('buffering_sd', 'Standard deviation of the buffering', 'meq/(kg pH)'),
];

/** @type {readonly Field[]} */
export const TANK = [field('fill', 'Fill', 'L'), field('temperature', 'Temperature', '°C')];

/** Numbers of brews that one fill can serve. */
export const BREWS = ['1', '2', '3', '4', '5', '6'].map((key) => ({ key, label: key }));

/** @type {readonly Field[]} */
export const MASH = [
  field('liquor', 'Liquor', 'L'),
  field('liquor_temperature', 'Liquor temperature', '°C'),
  field('rest_temperature', 'Rest temperature', '°C'),
];

/** @type {readonly Field[]} */
export const SPARGE = [
  field('liquor', 'Liquor', 'L'), field('liquor_temperature', 'Liquor temperature', '°C'), field('portions', 'Sparge in portions', ''),
];

/** @type {readonly Field[]} */
export const KETTLE = [
  { ...field('boil', 'Boil', 'min'), bare: 'h' }, field('boil_off', 'Total boil-off', 'L'), field('zinc', 'Zinc for the yeast', 'mg/L'),
];

/** @type {readonly Field[]} */
export const TARGETS = [
  field('calcium', 'Calcium', 'mg/L'),
  field('magnesium', 'Magnesium', 'mg/L'),
  field('sodium', 'Sodium', 'mg/L'),
  field('chloride', 'Chloride', 'mg/L'),
  field('sulfate', 'Sulfate', 'mg/L'),
  field('sulfate_to_chloride', 'Sulfate to chloride', ''),
  field('mash_ph', 'Mash pH', ''),
  field('sparge_alkalinity', 'Sparge alkalinity', 'mg/L as CaCO3'),
  field('sparge_ph', 'Sparge pH', ''),
];

/** @type {Readonly<Record<string, string>>} Targets that a confidence can be set for, with their names within a sentence. */
export const CONFIDENCES = { mash_ph: 'mash pH', sparge_ph: 'sparge pH' };

/** @type {readonly Field[]} */
export const MORE_TARGETS = [
  field('potassium', 'Potassium', 'mg/L'),
  field('ammonium', 'Ammonium', 'mg/L'),
  field('iron', 'Iron', 'mg/L'),
  field('manganese', 'Manganese', 'mg/L'),
  field('nitrate', 'Nitrate', 'mg/L'),
  field('nitrite', 'Nitrite', 'mg/L'),
  field('fluoride', 'Fluoride', 'mg/L'),
  field('kettle_ph', 'Kettle pH', ''),
];

/**
 * Whether the engine accepts a vessel for a reagent that suits it, on such a day.
 *
 * @param {string} vessel
 * @param {{ vessels: readonly string[] } | undefined} reagent Its names; undefined while none is chosen.
 * @param {{ hasTank: boolean, hasSparge: boolean, brews: number }} day
 */
export function mayGo(vessel, reagent, { hasTank, hasSparge, brews }) {
  if (reagent && !reagent.vessels.includes(vessel)) return false;
  if (vessel === 'hot_liquor_tank') return hasTank;
  // From a tank, the sparge liquor of one brew is drawn together with the mash liquor of the next.
  return vessel !== 'sparge_liquor' || (hasSparge && !(hasTank && brews > 1));
}

/** @type {readonly Field[]} The liquor tank as a vessel. */
export const LIQUOR_TANK = [field('capacity', 'Holds', 'L'), field('dead_volume', 'Below the outlet', 'L')];

const VOLUME = field('volume', 'Volume', 'L');
const HOURS = field('duration', 'In', 'h');

/** @type {readonly { key: string, label: string, fields: readonly Field[], choices: readonly ('supply' | 'reagent' | 'to')[] }[]} */
export const WORKS = [
  { key: 'fill', label: 'Fill', choices: ['supply'], fields: [VOLUME] },
  { key: 'recover', label: 'Recover', choices: ['supply'], fields: [VOLUME, field('temperature', 'At', '°C')] },
  { key: 'dose', label: 'Dose', choices: ['reagent'], fields: [field('amount', 'Amount', ''), field('strength', 'Strength', '%')] },
  { key: 'heat', label: 'Heat', choices: [], fields: [field('temperature', 'To', '°C'), HOURS] },
  { key: 'hold', label: 'Hold', choices: [], fields: [{ ...HOURS, label: 'For' }] },
  { key: 'draw', label: 'Draw', choices: ['to'], fields: [VOLUME] },
];

/** @type {readonly { key: string, label: string }[]} Where a draw goes. */
export const DESTINATIONS = [
  { key: 'mash', label: 'mash' },
  { key: 'sparge', label: 'sparge' },
  { key: 'elsewhere', label: 'elsewhere' },
];
