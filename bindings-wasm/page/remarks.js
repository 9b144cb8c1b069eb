// What the core finds in a water report, as a person reads it: in words, with a mark for how much each matters.

import { byId, h } from './dom.js';
import { scales } from './pictures.js';
import { guess, isSpread } from './report.js';

/** @import { Finding, Water } from './underlet/water.js' */
/** @import { Bound } from './form.js' */
/** @import { Look } from './report.js' */
/** @typedef {(key: string) => Bound | undefined} FieldOf The field of a report's key, where the form has one. */

/** @type {Record<Finding['severity'], string>} */
const SEVERITIES = { warning: 'Warning', doubt: 'Doubt', note: 'Note' };

/** @type {Partial<Record<Finding['code'], string>>} The field of what is about none of the entries. */
const FIELDS = { report_undated: 'sampled', report_old: 'sampled', sampled_after_today: 'sampled' };

/** @type {readonly Finding['code'][]} What is about the report as a whole, whichever entries it names. */
const OF_THE_WHOLE = ['ions_do_not_balance', 'ions_missing'];

/** Standard Methods 1030 E, as the core applies it, decides whether a balance is accepted. */
const STATES = { even: 'cations and anions agree', uneven: 'cations and anions do not agree', open: 'not settled: what is left out or stated as a range may close it' };

/** What a limit means, wherever one is exceeded. */
const LIMITS = 'Limits are quoted as their authorities print them, and are no verdict on your water: ask the supplier or the health '
  + 'authority before you use it.';

/** @param {number} i Which water of the day. */
export function idsOf(i) {
  return { counts: `sources-${i}-counts`, look: `sources-${i}-look`, more: `sources-${i}-more` };
}

/**
 * Where it is told what a report is like as a whole.
 *
 * @param {number} i Which water of the day.
 */
export function placesToTell(i) {
  const { counts: line, look } = idsOf(i);
  return [h('p', { class: 'counts', id: line, role: 'status' }), h('div', { id: look })];
}

/**
 * Tells what was found in a report: beside the fields it is about, and at the report's end.
 *
 * @param {number} i Which water of the day.
 * @param {Look} look
 * @param {FieldOf} fieldOf
 */
export function tell(i, { water, problems }, fieldOf) {
  const ids = idsOf(i);
  const status = byId(ids.counts, HTMLElement);
  const place = byId(ids.look, HTMLElement);
  const more = byId(ids.more, HTMLElement);
  const said = summary(water, problems.length > 0);
  if (status.textContent !== said) status.textContent = said;
  place.replaceChildren();
  more.textContent = '';
  if (!water || problems.length > 0 || water.entries.length === 0) return;
  for (const entry of water.entries.filter(isSpread)) {
    fieldOf(entry.key)?.remarks.append(h('p', { class: 'taken' }, `The plan counts it as ${guess(entry)}.`));
  }
  const whole = water.findings.flatMap((finding, n) => {
    const words = remark(finding, `${ids.look}-${n}`);
    return besideField(fieldsOf(finding), words, fieldOf) ? [] : [words];
  });
  place.append(...sums(water), ...whole);
  if (water.findings.some(({ code }) => code === 'limit_exceeded')) place.append(h('p', { class: 'hint' }, LIMITS));
  const inMore = more.closest('details')?.querySelectorAll('.remark').length ?? 0;
  if (inMore > 0) more.textContent = `, ${inMore} ${inMore === 1 ? 'remark' : 'remarks'}`;
}

/**
 * @param {Water | undefined} water
 * @param {boolean} isRefused
 */
function summary(water, isRefused) {
  if (!water || isRefused) return 'The report is looked at again once its entries are mended.';
  if (water.entries.length === 0) return 'Enter what its report states, and the report is looked at.';
  if (water.findings.length === 0) return 'Nothing in this report is odd.';
  return `Remarks on this report: ${counts(water.findings)}.`;
}

/**
 * Puts a remark beside the first of the fields that the form has, and lets it describe all of them; false where the
 * form has none.
 *
 * @param {readonly string[]} keys
 * @param {HTMLElement} words
 * @param {FieldOf} fieldOf
 */
function besideField(keys, words, fieldOf) {
  const [first, ...others] = keys.map(fieldOf).filter((field) => field !== undefined);
  if (!first) return false;
  first.remarks.append(words);
  for (const { control } of others) control.setAttribute('aria-describedby', `${control.getAttribute('aria-describedby')} ${words.id}`);
  return true;
}

/**
 * The keys of the fields that a finding belongs beside, the first first; none where it is about the whole report.
 *
 * @param {Finding} finding
 */
function fieldsOf({ code, subjects }) {
  if (OF_THE_WHOLE.includes(code)) return [];
  const field = FIELDS[code];
  return field === undefined ? subjects : [field];
}

/**
 * @param {Finding} finding
 * @param {string} id
 */
function remark({ severity, text }, id) {
  return h('p', { class: `remark ${severity}`, id }, h('b', {}, `${SEVERITIES[severity]}: `), text);
}

/**
 * How many there are of each severity, such as "1 warning, 2 notes"; empty where there are none.
 *
 * @param {readonly Finding[]} findings
 */
function counts(findings) {
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
function sums({ reckoned, findings }) {
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

/** @param {number} difference Cations less anions over their sum, per cent. */
function percentApart(difference) {
  const size = Math.abs(difference).toFixed(1);
  if (Number(size) === 0) return 'No difference.';
  return `${size} % more ${difference > 0 ? 'cations' : 'anions'}, as difference over sum.`;
}
