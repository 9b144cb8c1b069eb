// Targets to begin with, by family of beer: they fill the ranges of a day, which stay editable.

import { h } from './dom.js';
import { TARGETS } from './fields.js';
import { rangeObject } from './quantity.js';
import { codes, targetsFor } from './underlet/index.js';

/** @import { Day } from './state.js' */

const LABELS = Object.fromEntries(TARGETS.map(({ key, label }) => [key, label]));

/** The families, as options of a drop-down list. */
export function families() {
  return Object.keys(codes().beer_family).map((key) => ({ key, label: key }));
}

/**
 * Sets the targets of a day to those of a family. A target that the family has no rule for is removed, so that none is left of
 * another beer; the sparge pH, for which no family has a rule, stays.
 *
 * @param {Day} day
 * @param {string} family
 */
export function fill(day, family) {
  const targets = /** @type {Record<string, string>} */ (targetsFor(family).targets);
  for (const { key } of TARGETS.filter((field) => field.key !== 'sparge_ph')) {
    if (key in targets) day.targets[key] = rangeObject(targets[key]);
    else delete day.targets[key];
  }
}

/**
 * What belongs to a family, and why its ranges are what they are, each source once.
 *
 * @param {string} family
 */
export function reasons(family) {
  const { description, rules } = targetsFor(family);
  const reason = rules.map(({ target, range, why }) => h('li', {}, h('strong', {}, `${LABELS[target] ?? target}: ${range}.`), ` ${why}`));
  const sources = rules.flatMap((rule) => rule.sources.map(({ reference, checked }) => `${reference} (${checked})`));
  return [
    h('p', {}, description),
    h('ul', {}, ...reason),
    h('p', { class: 'hint' }, 'Sources, and how far each was checked:'),
    h('ul', { class: 'hint' }, ...[...new Set(sources)].map((source) => h('li', {}, source))),
  ];
}
