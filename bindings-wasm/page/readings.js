// What the meters did show: a field beside each reading that the plan expects, known waters to doubt a probe with, and
// what the core makes of all of them.

import { amount } from './amount.js';
import { diagnosed, METERS, offBy } from './diagnosis.js';
import { h } from './dom.js';
import { problemsOf } from './report.js';
import { set } from './state.js';
import { check } from './underlet/index.js';

/** @import { Problem, Reading } from './underlet/index.js' */
/** @import { Day, Part } from './state.js' */
/** @typedef {Pick<Reading, 'meter' | 'place'> & { probe: 'usual' | 'second' }} Sample Where and by which probe. */
/**
 * A field of a reading, with the places beside it for its mistakes and for what the core says of it.
 *
 * @typedef {{ input: HTMLInputElement, mistakes: HTMLElement, remarks: HTMLElement }} Bound
 */

/** @type {readonly { meter: Reading['meter'], label: string, unit: string }[]} Waters that are known. */
const KNOWN = [
  { meter: 'ph', label: 'pH buffer', unit: '' },
  { meter: 'conductivity', label: 'Conductivity standard', unit: 'µS/cm' },
  { meter: 'temperature', label: 'Melting ice, or another known temperature', unit: '°C' },
];

export class Meters {
  /** @type {Map<string, Bound>} By {@link nameOf} of a reading, and whether it is what a known water should read. */
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
      h('p', { class: 'hint' }, 'Write in what the meters show, as far as you read them, and the page says what it means.'),
      h('ol', {}, ...Array.from(rounds(expected), ([round, taken]) => h('li', {},
        h('p', {}, round),
        h('ul', {}, ...taken.map((reading) => this.#row(reading)))))),
      this.#doubt(),
      h('section', { class: 'diagnosis', 'aria-label': 'What the readings say' }, this.#verdict, this.#reasons),
      h('ul', { class: 'sentences' }, ...[...new Set(expected.map(({ otherwise }) => otherwise))].map((text) => h('li', {}, text))));
  }

  /**
   * Asks the core what the readings say of the day as it was planned, and shows the answer.
   *
   * @param {string} brewDay The text that the plan was asked with.
   */
  look(brewDay) {
    for (const { input, mistakes, remarks } of this.#bound.values()) {
      input.removeAttribute('aria-invalid');
      mistakes.replaceChildren();
      remarks.replaceChildren();
    }
    const readings = this.#entries().filter((entry) => this.#canBeAsked(entry));
    if (readings.length === 0) return this.#tell('');
    try {
      const asked = JSON.stringify(readings);
      const diagnosis = check(`{"underlet":1,"brew_day":${brewDay},"readings":${asked}}`);
      this.#tell(diagnosis.sentence, diagnosed(diagnosis));
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
   * False for a reading that this day does not predict, and for a known water of which half is missing.
   *
   * @param {Part} entry
   */
  #canBeAsked(entry) {
    if ('place' in entry) return this.#expected.some(({ place, meter }) => place === entry.place && meter === entry.meter);
    const missing = ['known', 'value'].find((key) => !(key in entry));
    if (missing) this.#bound.get(nameOf(entry, missing === 'known'))?.mistakes.append(h('p', {}, 'This half is missing.'));
    return !missing;
  }

  /**
   * @param {string} verdict
   * @param {Node[]} [reasons]
   */
  #tell(verdict, reasons = []) {
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
    this.#tell(problems.length === 1 ? 'One reading to fix.' : `${problems.length} readings to fix.`);
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

  /** Known waters and a second thermometer. */
  #doubt() {
    const isUsed = this.#entries().some((entry) => !('place' in entry) || entry.probe === 'second');
    const known = KNOWN.map(({ meter, label, unit }) => h('div', { role: 'group', 'aria-label': label },
      h('p', { class: 'way', 'aria-hidden': 'true' }, label),
      h('div', { class: 'fields' },
        this.#field({ meter }, 'known', { id: `known-${meter}`, label: 'should read', spoken: `${label}: should read`, unit }),
        this.#field({ meter }, 'value', { id: `shown-${meter}`, label: 'did read', spoken: `${label}: did read`, unit }))));
    const warm = this.#expected.filter(({ meter }) => meter === 'temperature');
    const second = h('div', { role: 'group', 'aria-label': 'Second thermometer' },
      h('p', { class: 'way', 'aria-hidden': 'true' }, 'Second thermometer'),
      h('div', { class: 'fields' }, ...warm.map(({ what, meter, place, unit }) => {
        const label = place.replaceAll('_', ' ');
        return this.#field({ meter, place, probe: 'second' }, 'value', { id: `second-${what}`, label, spoken: `Second thermometer, ${label}`, unit });
      })));
    const details = h('details', { open: isUsed || this.#isOpen }, h('summary', {}, 'To doubt a probe'),
      h('p', { class: 'hint' }, 'What a probe shows in a water you know, or another one beside it, tells a probe that is off from a slip with an addition.'),
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
 * What a reading is of, by which meter and probe; `isKnown` names what a known water should read.
 *
 * @param {{ place?: unknown, meter?: unknown, probe?: unknown }} reading
 * @param {boolean} [isKnown]
 */
function nameOf({ place, meter, probe }, isKnown = false) {
  return [place ?? 'known', meter, probe ?? 'usual', isKnown ? 'should' : 'did'].join(' ');
}

/**
 * The readings of one place and time together.
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
