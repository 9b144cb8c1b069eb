// What the meters read: a field beside each reading that the plan expects, reference samples to check a probe with, and the
// core's diagnosis.

import { amount } from './amount.js';
import { diagnosed, METERS, offBy } from './diagnosis.js';
import { h } from './dom.js';
import { problemsOf } from './report.js';
import { set } from './state.js';
import { diagnose } from './underlet/index.js';

/** @import { Problem, Reading } from './underlet/index.js' */
/** @import { Day, Part } from './state.js' */
/** @typedef {Pick<Reading, 'meter' | 'place'> & { probe: 'usual' | 'second' }} Sample Where and by which probe. */
/**
 * A field of a reading, with the elements beside it for its problems and for how far it is off.
 *
 * @typedef {{ input: HTMLInputElement, mistakes: HTMLElement, remarks: HTMLElement }} Bound
 */

/** @type {readonly { meter: Reading['meter'], label: string, unit: string }[]} Waters of known value. */
const KNOWN = [
  { meter: 'ph', label: 'pH buffer', unit: '' },
  { meter: 'conductivity', label: 'Conductivity standard', unit: 'µS/cm' },
  { meter: 'temperature', label: 'Melting ice, or another known temperature', unit: '°C' },
];

export class Meters {
  /** @type {Map<string, Bound>} By {@link nameOf} of a reading, and whether it is the known value of a water. */
  #bound = new Map();
  #verdict = h('p', { class: 'summary', id: 'diagnosis', role: 'status' });
  #reasons = h('div');
  /** @type {readonly Reading[]} What the plan on the page expects. */
  #expected = [];
  #isOpen = false;
  #day;
  #changed;

  /**
   * @param {Day} day
   * @param {() => void} changed Called after every change of a reading.
   */
  constructor(day, changed) {
    this.#day = day;
    this.#changed = changed;
  }

  /**
   * The readings of a plan, with fields for those of the day.
   *
   * @param {Day} day
   * @param {readonly Reading[]} expected
   */
  show(day, expected) {
    this.#day = day;
    this.#expected = expected;
    this.#bound.clear();
    return h('div', { class: 'readings' },
      h('p', { class: 'hint' }, 'Enter what the meters read, as far as you have read them; the page says what it means.'),
      h('ol', {}, ...Array.from(rounds(expected), ([round, taken]) => h('li', {},
        h('p', {}, round),
        h('ul', {}, ...taken.map((reading) => this.#row(reading)))))),
      this.#probeChecks(),
      h('section', { class: 'diagnosis', 'aria-label': 'Diagnosis' }, this.#verdict, this.#reasons),
      h('ul', { class: 'sentences' }, ...[...new Set(expected.map(({ otherwise }) => otherwise))].map((text) => h('li', {}, text))));
  }

  /**
   * Asks the core for a diagnosis of the readings of the planned day, and shows it.
   *
   * @param {string} brewDay The text of the brew day that was planned.
   */
  diagnose(brewDay) {
    for (const { input, mistakes, remarks } of this.#bound.values()) {
      input.removeAttribute('aria-invalid');
      mistakes.replaceChildren();
      remarks.replaceChildren();
    }
    const readings = this.#entries().filter((entry) => this.#isComplete(entry));
    if (readings.length === 0) return this.#say('');
    try {
      const diagnosis = diagnose(`{"underlet":1,"brew_day":${brewDay},"readings":${JSON.stringify(readings)}}`);
      this.#say(diagnosis.sentence, diagnosed(diagnosis));
      for (const compared of diagnosis.compared) {
        this.#bound.get(nameOf(compared))?.remarks.replaceChildren(offBy(compared));
      }
    } catch (refused) {
      this.#refuse(problemsOf(refused), readings);
    }
  }

  /** @returns {Part[]} */
  #entries() {
    return this.#day.readings ?? [];
  }

  /**
   * False for a reading that this day does not predict, and for a reference sample with only one of its two numbers.
   *
   * @param {Part} entry
   */
  #isComplete(entry) {
    if ('place' in entry) return this.#expected.some(({ place, meter }) => place === entry.place && meter === entry.meter);
    const missing = ['known', 'value'].find((key) => !(key in entry));
    if (missing) this.#bound.get(nameOf(entry, missing === 'known'))?.mistakes.append(h('p', {}, 'Enter both numbers.'));
    return !missing;
  }

  /**
   * @param {string} verdict
   * @param {Node[]} [reasons]
   */
  #say(verdict, reasons = []) {
    if (this.#verdict.textContent !== verdict) this.#verdict.textContent = verdict;
    this.#reasons.replaceChildren(...reasons);
  }

  /**
   * Shows each problem at its field.
   *
   * @param {readonly Problem[]} problems
   * @param {readonly Part[]} readings
   */
  #refuse(problems, readings) {
    this.#say(problems.length === 1 ? '1 reading to fix.' : `${problems.length} readings to fix.`);
    for (const { path, expected, hint } of problems) {
      const [, i, key] = /^readings\[(\d+)\](?:\.(\w+))?/.exec(path) ?? [];
      const bound = this.#bound.get(nameOf(readings[Number(i)] ?? {}, key === 'known'));
      bound?.input.setAttribute('aria-invalid', 'true');
      const words = h('p', {}, `Expected ${expected}. ${hint}`);
      if (bound) bound.mistakes.append(words);
      else this.#reasons.append(words);
    }
  }

  /** @param {Reading} reading */
  #row({ what, label, meter, place, display, unit }) {
    const sample = { meter, place, probe: /** @type {const} */ ('usual') };
    return h('li', {},
      h('span', { class: 'expected' }, METERS[meter], ' ', h('strong', {}, display)),
      this.#field(sample, 'value', { id: `read-${what}`, label: 'read', spoken: `${label}: read`, unit }));
  }

  /** Reference samples and a second thermometer. */
  #probeChecks() {
    const isUsed = this.#entries().some((entry) => !('place' in entry) || entry.probe === 'second');
    const known = KNOWN.map(({ meter, label, unit }) => h('div', { role: 'group', 'aria-label': label },
      h('p', { class: 'way', 'aria-hidden': 'true' }, label),
      h('div', { class: 'fields' },
        this.#field({ meter }, 'known', { id: `known-${meter}`, label: 'should read', spoken: `${label}: should read`, unit }),
        this.#field({ meter }, 'value', { id: `shown-${meter}`, label: 'reads', spoken: `${label}: reads`, unit }))));
    const warm = this.#expected.filter(({ meter }) => meter === 'temperature');
    const second = h('div', { role: 'group', 'aria-label': 'Second thermometer' },
      h('p', { class: 'way', 'aria-hidden': 'true' }, 'Second thermometer'),
      h('div', { class: 'fields' }, ...warm.map(({ what, meter, place, unit }) => {
        const label = place.replaceAll('_', ' ');
        return this.#field({ meter, place, probe: 'second' }, 'value', { id: `second-${what}`, label, spoken: `Second thermometer, ${label}`, unit });
      })));
    const details = h('details', { open: isUsed || this.#isOpen }, h('summary', {}, 'Check a probe'),
      h('p', { class: 'hint' }, 'A reading in a reference sample, or by a second probe, tells a probe that is off from a mistake with an addition.'),
      ...known, warm.length > 0 && second);
    details.addEventListener('toggle', () => { this.#isOpen = details.open; });
    return details;
  }

  /**
   * A field for a key of a reading.
   *
   * @param {Partial<Sample> & Pick<Sample, 'meter'>} sample
   * @param {'value' | 'known'} key
   * @param {{ id: string, label: string, spoken: string, unit: string }} words
   */
  #field(sample, key, { id, label, spoken, unit }) {
    const name = nameOf(sample, key === 'known');
    const entry = this.#entries().find((one) => nameOf(one) === nameOf(sample));
    const { input, shown } = amount({ id, value: entry?.[key], unit, spoken, write: (value) => this.#write(sample, key, value) });
    const mistakes = h('div', { class: 'mistakes', id: `${id}-mistakes` });
    const remarks = h('div', { class: 'remarks', id: `${id}-remarks` });
    input.setAttribute('aria-describedby', `${id}-unit ${mistakes.id} ${remarks.id}`);
    this.#bound.set(name, { input, mistakes, remarks });
    return h('div', { class: 'field' }, h('label', { for: id }, label), shown, h('div', { class: 'notes' }, mistakes, remarks));
  }

  /**
   * @param {Partial<Sample> & Pick<Sample, 'meter'>} sample
   * @param {'value' | 'known'} key
   * @param {string | number | undefined} value
   */
  #write({ meter, place, probe }, key, value) {
    const all = [...this.#entries()];
    const found = all.findIndex((one) => nameOf(one) === nameOf({ place, meter, probe }));
    /** @type {Part} */
    const entry = { ...(all[found] ?? { ...(place && { place }), meter, ...(probe === 'second' && { probe }) }) };
    set(entry, [key], value);
    all.splice(found < 0 ? all.length : found, 1, ...('value' in entry || 'known' in entry ? [entry] : []));
    if (all.length > 0) this.#day.readings = all;
    else delete this.#day.readings;
    this.#changed();
  }
}

/**
 * Identifies a reading by place, brew, meter and probe; with `isKnown`, the known value of a water.
 *
 * @param {{ place?: unknown, brew?: unknown, meter?: unknown, probe?: unknown }} reading
 * @param {boolean} [isKnown]
 */
function nameOf({ place, brew, meter, probe }, isKnown = false) {
  const what = isKnown ? 'should' : 'did';
  return [place ?? 'known', brew ?? 1, meter, probe ?? 'usual', what].join(' ');
}

/**
 * The readings grouped by place and time.
 *
 * @param {readonly Reading[]} all
 */
function rounds(all) {
  /** @type {Map<string, Reading[]>} */
  const found = new Map();
  for (const reading of all) {
    const round = `${reading.place.replaceAll('_', ' ')}, ${reading.when}`;
    found.set(round, [...found.get(round) ?? [], reading]);
  }
  return found;
}
