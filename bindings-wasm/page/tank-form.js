// The tank's day in the form: the tank, its supplies, and the lines of work.

import { h } from './dom.js';
import { BREWS, DESTINATIONS, LIQUOR_TANK, MORE_WATER, WATER, WORKS } from './fields.js';
import { ratio, scale } from './quantity.js';
import { IN_WORDS, isLiquor } from './report.js';
import { isPart, set } from './state.js';
import { examples } from './underlet/index.js';

/** @import { Kit } from './form.js' */
/** @import { Day, Part, TankDay } from './state.js' */

const AT = 'tank_day';
const FIGURES = [...WATER, ...MORE_WATER.filter(({ key }) => key !== 'max_amount')];
/** Every key that some kind of work has. */
const KEYS = [...new Set(WORKS.flatMap(({ fields, choices }) => [...fields.map(({ key }) => key), ...choices]))];

/**
 * @param {Day} day
 * @param {Kit} kit
 */
export function tankFields(day, kit) {
  const tank = day.tank_day;
  return tank ? [...vessel(tank, kit), supplies(day, tank, kit), lines(tank, kit), removal(day, kit)] : beginnings(day, kit);
}

/**
 * @param {Day} day
 * @param {Kit} kit
 */
function removal({ tank_day: _, ...brew }, kit) {
  const remove = () => kit.replace(/** @type {Day} */ (brew), 'The tank’s day was removed; the Back button restores it.', 'begin-own');
  return h('button', { type: 'button', class: 'quiet', id: 'remove-tank-day', click: remove }, 'Remove the tank’s day');
}

/**
 * Two ways to start.
 *
 * @param {Day} day
 * @param {Kit} kit
 */
function beginnings(day, kit) {
  const startButton = (/** @type {() => TankDay} */ first, /** @type {string} */ id, /** @type {string} */ label) => h('button', {
    type: 'button', id, click: () => {
      day.tank_day = first();
      kit.rebuilt();
      document.getElementById(`${AT}.name`)?.focus();
    },
  }, label);
  return [h('div', { class: 'row' },
    startButton(() => ofTheBrew(day, kit), 'begin-own', 'Start with this brew’s water'),
    startButton(nightAtNinefoldQuay, 'begin-night', 'See a night at the (invented) Ninefold Quay'))];
}

/**
 * The tank's day that this brew day implies; what it does not say is left empty.
 *
 * @param {Day} day
 * @param {Kit} kit
 * @returns {TankDay}
 */
function ofTheBrew(day, kit) {
  const { hot_liquor_tank: tank, mash, sparge, brewhouse } = day;
  const scaled = (/** @type {unknown} */ volume) => scale(volume, ratio(day.recipe_scale) ?? 1);
  const [fill, temperature] = isPart(tank) ? [scaled(tank.fill), tank.temperature] : [];
  const waters = day.sources.flatMap((source, i) => (isDrawn(source) ? [] : [supplyOf(day, i, kit)]));
  // There is a filling even where no water is known yet.
  const fills = waters.length > 0 ? waters.map(({ name }) => name) : [undefined];
  const draws = [[mash, 'mash'], [sparge, 'sparge']].flatMap(([part, to]) => (isPart(part) ? [{ work: 'draw', volume: scaled(part.liquor), to }] : []));
  return {
    underlet: 1, name: `The tank, ${day.name ?? 'this brew'}`, supplies: waters,
    tank: { dead_volume: isPart(brewhouse) ? brewhouse.tank_dead_volume : undefined },
    lines: [
      ...fills.map((supply, i) => ({ work: 'fill', supply, ...(i === 0 && { volume: fill }) })),
      { work: 'heat', temperature },
      ...BREWS.slice(0, Math.max(1, ratio(day.brews) ?? 1)).flatMap(() => structuredClone(draws)),
    ],
  };
}

/**
 * True for a draw of the tank, which is no supply of it.
 *
 * @param {Part} source
 */
function isDrawn(source) {
  return IN_WORDS in source;
}

/**
 * Invented: hard water is heated at night and held until the morning, acid is added too late, and cooling water is recovered.
 *
 * @returns {TankDay}
 */
function nightAtNinefoldQuay() {
  const well = Object.values(examples())[0]?.sources[0];
  return {
    underlet: 1, name: 'A night at Ninefold Quay', tank: { capacity: '12 hL', dead_volume: '60 L' },
    supplies: [{ ...well, inlet_temperature: '12 °C' }],
    lines: [
      { work: 'fill', supply: 'well', volume: '1000 L' },
      { work: 'heat', temperature: '78 °C', duration: '3 h', label: 'timer from 21:00' },
      { work: 'hold', duration: '9 h', label: 'until 9:00' },
      { work: 'dose', reagent: 'lactic acid', strength: '80 %', amount: '250 mL', label: 'acid in the morning' },
      { work: 'draw', volume: '400 L', to: 'mash', label: 'strike' },
      { work: 'draw', volume: '500 L', to: 'sparge', label: 'sparge' },
      { work: 'recover', supply: 'well', volume: '600 L', temperature: '70 °C', label: 'from the wort cooler' },
    ],
  };
}

/**
 * A water of the brew as a supply of the tank: today's water where it is known.
 *
 * @param {Day} day
 * @param {number} i Which water.
 * @param {Kit} kit
 * @returns {Part}
 */
function supplyOf(day, i, kit) {
  const { max_amount: _, ...water } = kit.today(i);
  const words = isLiquor(water) ? { [IN_WORDS]: day.sources[i]?.[IN_WORDS] ?? 'Today’s water, from the report and today’s measurements.' } : {};
  const bench = day.sources[i]?.bench;
  return { ...water, ...words, inlet_temperature: isPart(bench) ? bench.temperature : undefined };
}

/**
 * @param {TankDay} tank
 * @param {Kit} kit
 */
function vessel(tank, kit) {
  const at = [AT, 'tank'];
  const scales = [{ key: 'clean', label: 'none, clean steel' }, { key: 'some', label: 'some' }, { key: 'coated', label: 'walls and heater coated' }];
  const surfaces = [
    { key: 'shut', label: 'shut or full' }, { key: 'covered', label: 'covered, still' },
    { key: 'open', label: 'open, still' }, { key: 'stirred', label: 'stirred or recirculated' },
  ];
  const heel = h('div', { class: 'vessel' },
    h('p', {}, heelInWords(isPart(tank.heel) ? tank.heel : {})),
    h('button', { type: 'button', class: 'quiet', click: () => {
      set(tank, ['heel'], undefined);
      kit.rebuilt();
      document.getElementById(`${AT}.name`)?.focus();
    } }, 'Start with an empty tank'));
  return [
    kit.text([AT, 'name'], 'Name of this day of the tank'),
    h('div', { class: 'fields' }, ...LIQUOR_TANK.map((field) => kit.amount(at, field)),
      kit.choice([...at, 'scale'], 'Scale in it', scales, tank.tank.scale ?? 'some', ''),
      kit.choice([...at, 'surface'], 'Surface', surfaces, tank.tank.surface ?? 'covered', '')),
    ...(isPart(tank.heel) ? [heel] : []),
  ];
}

/**
 * What the day before left, as far as its heel states it.
 *
 * @param {Part} heel
 */
function heelInWords({ water_kg: water, temperature_c: warm }) {
  const much = typeof water === 'number' ? `: ${water.toFixed(0)} kg of water` : '';
  const hot = typeof warm === 'number' ? ` at ${warm.toFixed(0)} °C` : '';
  return `Left in it by the day before${much}${hot}.`;
}

/**
 * @param {Day} day
 * @param {TankDay} tank
 * @param {Kit} kit
 */
function supplies(day, tank, kit) {
  const rows = tank.supplies.map((supply, i) => {
    const at = [AT, 'supplies', i];
    const cold = kit.amount(at, { key: 'inlet_temperature', label: 'Comes in at', unit: '°C' });
    const figures = isLiquor(supply)
      ? h('p', { class: 'display' }, String(supply[IN_WORDS] ?? 'Liquor as the engine wrote it.'))
      : kit.details(`${AT}.supplies[${i}]`, 'Its figures', [h('div', { class: 'fields' }, ...FIGURES.map((field) => kit.amount(at, field)))], false);
    return h('li', { class: 'item' },
      h('div', { class: 'pair' }, renaming(tank, supply, kit.text([...at, 'name'], 'Name of this water')), cold), figures,
      kit.remove([AT, 'supplies'], i, 'this water', String(supply.name ?? '')));
  });
  const known = new Set(tank.supplies.map(({ name }) => name));
  const more = day.sources.flatMap((source, i) => (known.has(source.name) || isDrawn(source) ? [] : [h('button', {
    type: 'button', class: 'quiet', click: () => {
      tank.supplies.push(supplyOf(day, i, kit));
      kit.rebuilt();
      document.getElementById(`${AT}.supplies[${tank.supplies.length - 1}].inlet_temperature`)?.focus();
    },
  }, `Take “${source.name ?? ''}” of the brew`)]));
  return h('fieldset', {}, h('legend', {}, 'Waters that feed it'), h('ul', { class: 'items' }, ...rows),
    h('div', { class: 'row' }, kit.add([AT, 'supplies'], 'Add a water', { name: `water ${tank.supplies.length + 1}` }, 'name'), ...more));
}

/**
 * The field of a water's name, which the lines that speak of that water follow. A name that another water has is passed by while
 * it is typed, and does not stay.
 *
 * @param {TankDay} tank
 * @param {Part} supply
 * @param {HTMLElement} field
 */
function renaming(tank, supply, field) {
  const input = field.querySelector('input');
  const isTaken = () => supply.name !== undefined && tank.supplies.some((other) => other !== supply && other.name === supply.name);
  let kept = String(supply.name ?? '');
  let before = kept;
  field.addEventListener('change', () => {
    if (input && isTaken()) {
      input.value = kept;
      input.dispatchEvent(new Event('input', { bubbles: true }));
    }
    kept = before;
  });
  field.addEventListener('input', () => {
    const now = String(supply.name ?? '');
    if (now === '' || isTaken()) return;
    for (const line of tank.lines) if (line.supply === before) line.supply = now;
    for (const option of document.querySelectorAll('#tank-given select[id$=".supply"] option')) {
      if (option instanceof HTMLOptionElement && option.value === before) option.value = option.textContent = now;
    }
    before = now;
  });
  return field;
}

/**
 * @param {TankDay} tank
 * @param {Kit} kit
 */
function lines(tank, kit) {
  const rows = tank.lines.map((line, i) => h('li', { class: 'item line-of-work' },
    h('p', {}, `Line ${i + 1}`),
    h('div', { class: 'fields' }, ...lineFields(tank, line, i, kit)),
    h('div', { class: 'row' },
      i > 0 && h('button', { type: 'button', class: 'quiet remove', id: `earlier-${i}`, click: () => {
        tank.lines.splice(i - 1, 2, line, /** @type {Part} */ (tank.lines[i - 1]));
        kit.rebuilt();
        document.getElementById(`${AT}.lines[${i - 1}].work`)?.focus();
      } }, 'Earlier', h('span', { class: 'unseen' }, `: line ${i + 1}`)),
      kit.remove([AT, 'lines'], i, '', `line ${i + 1}`))));
  return h('fieldset', {}, h('legend', {}, 'Line by line'),
    h('p', { class: 'hint' }, 'Volumes are read at their temperature. Recovered water has cooled wort and comes back hot; heating to a lower temperature is cooling.'),
    h('ol', { class: 'items' }, ...rows),
    kit.add([AT, 'lines'], 'Add a line', { work: '' }, 'work'));
}

/**
 * The kind of work of a line, and its fields.
 *
 * @param {TankDay} tank
 * @param {Part} line
 * @param {number} i
 * @param {Kit} kit
 */
function lineFields(tank, line, i, kit) {
  const at = [AT, 'lines', i];
  const known = WORKS.find(({ key }) => key === line.work);
  const work = kit.choice([...at, 'work'], 'Work', WORKS, line.work, 'Choose', (key) => {
    line.work = key;
    const kind = WORKS.find((one) => one.key === key);
    const kept = [...kind?.fields.map((field) => field.key) ?? [], ...kind?.choices ?? []];
    for (const other of KEYS) if (!kept.includes(other)) set(line, [other], undefined);
  });
  const choices = {
    supply: () => kit.choice([...at, 'supply'], 'Water', tank.supplies.map(({ name }) => ({ key: String(name), label: String(name) })), line.supply, 'Choose a water'),
    reagent: () => kit.reagent([...at, 'reagent'], line.reagent),
    to: () => kit.choice([...at, 'to'], 'To', DESTINATIONS, line.to, 'Choose'),
  };
  const unit = kit.unitOf(line.reagent);
  const fields = (known?.fields ?? []).filter(({ key }) => key !== 'strength' || unit === 'mL' || 'strength' in line);
  return [
    work,
    ...(known?.choices ?? []).map((choice) => choices[choice]()),
    ...fields.map((field) => kit.amount(at, field.key === 'amount' ? { ...field, unit } : field)),
    kit.text([...at, 'label'], 'Label'),
  ];
}
