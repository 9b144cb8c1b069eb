// What the core finds in a water report, as a person reads it: in words, with a mark for how much each matters.

import { h } from './dom.js';
import { scales } from './pictures.js';

/** @import { Finding, Water } from './underlet/index.js' */

/** @type {Record<Finding['severity'], string>} */
const SEVERITIES = { warning: 'Warning', doubt: 'Doubt', note: 'Note' };

/** @type {Partial<Record<Finding['code'], string>>} The field of what is about none of the entries. */
const FIELDS = { report_undated: 'sampled', report_old: 'sampled', sampled_after_today: 'sampled' };

/** @type {readonly Finding['code'][]} What is about the report as a whole, whichever entries it names. */
const OF_THE_WHOLE = ['ions_do_not_balance', 'ions_missing'];

/**
 * The keys of the fields that a finding belongs beside, the first first; none where it is about the whole report.
 *
 * @param {Finding} finding
 */
export function fieldsOf({ code, subjects }) {
  if (OF_THE_WHOLE.includes(code)) return [];
  const field = FIELDS[code];
  return field === undefined ? subjects : [field];
}

/**
 * @param {Finding} finding
 * @param {string} id
 */
export function remark({ severity, text }, id) {
  return h('p', { class: `remark ${severity}`, id }, h('b', {}, `${SEVERITIES[severity]}: `), text);
}

/**
 * How many there are of each severity, such as "1 warning, 2 notes"; empty where there are none.
 *
 * @param {readonly Finding[]} findings
 */
export function counts(findings) {
  return Object.entries(SEVERITIES).flatMap(([severity, name]) => {
    const count = findings.filter((finding) => finding.severity === severity).length;
    return count === 0 ? [] : [`${count} ${name.toLowerCase()}${count === 1 ? '' : 's'}`];
  }).join(', ');
}

/**
 * Cations against anions, and what else the ions make.
 *
 * @param {Water} water
 */
export function sums({ reckoned, findings }) {
  const { balance, hardness_mg_l_caco3: hardness, dry_residue_mg_per_l: dry, conductivity_25c_us_per_cm: conductivity } = reckoned;
  const told = findings.some(({ code }) => code === 'ions_do_not_balance');
  const state = balance.is_acceptable ? 'even' : told ? 'uneven' : 'open';
  const makes = [
    `a hardness of ${hardness.toFixed(0)} mg/L as CaCO3`,
    `${dry.toFixed(0)} mg/L left on drying`,
    conductivity === null ? '' : `${conductivity.toFixed(0)} µS/cm at 25 °C`,
  ].filter(Boolean);
  return [
    h('p', { class: `balance ${state}` }, h('b', {}, 'Ion balance'), h('span', { class: 'state' }, STATES[state])),
    ...[scales(balance)].filter((picture) => picture !== null),
    h('p', { class: 'display' }, `${percentApart(balance.difference_percent)} These ions make ${makes.join(', ')}.`),
  ];
}

/** Standard Methods 1030 E, as the core applies it, decides whether a balance is accepted. */
const STATES = { even: 'cations and anions agree', uneven: 'cations and anions do not agree', open: 'open, for want of what the report leaves out' };

/** @param {number} difference Cations less anions over their sum, per cent. */
function percentApart(difference) {
  const size = Math.abs(difference).toFixed(1);
  if (Number(size) === 0) return 'No difference.';
  return `${size} % more ${difference > 0 ? 'cations' : 'anions'}, as difference over sum.`;
}
