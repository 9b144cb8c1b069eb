// Shows what the core finds in a water report and in today's measurements, each with its severity.

import { byId, h } from './dom.js';
import { scales } from './pictures.js';
import { likelihoods, reconciledFigures, suspects, worstDisagreement } from './reconciled.js';
import { BENCH } from './report.js';
import { pathText } from './state.js';

/** @import { Finding, Water, WaterMistake } from './underlet/index.js' */
/** @import { Bound } from './form.js' */
/** @import { CheckedReport } from './report.js' */
/** @typedef {(key: string) => Bound | undefined} FieldOf The field of a key, where the form has one. */
/** @typedef {{ report: FieldOf, bench: FieldOf }} Fields */

/** @type {Record<Finding['severity'], string>} */
export const SEVERITIES = { warning: 'Warning', doubt: 'Doubt', note: 'Note' };

/** @type {Partial<Record<Finding['code'], string>>} The field of a finding that is about none of the entries. */
const FIELDS = { report_undated: 'sampled', report_old: 'sampled', sampled_after_today: 'sampled' };

/** @type {readonly Finding['code'][]} Findings about the report as a whole, whichever entries they name. */
const OF_THE_WHOLE = ['ions_do_not_balance', 'ions_missing'];

/** A balance is accepted by Standard Methods 1030 E, as the core applies it. */
const STATES = { even: 'cations and anions agree', uneven: 'cations and anions do not agree', open: 'undecided: missing ions or ranges may explain the difference' };

/** Shown wherever a limit is exceeded. */
const LIMITS = 'Limits are quoted as their authorities print them and are no verdict on your water: ask the supplier or the health '
  + 'authority before you use it.';

/** @param {number} i Which water of the day. */
export function idsOf(i) {
  const id = (/** @type {string} */ part) => `sources-${i}-${part}`;
  return { counts: id('counts'), look: id('look'), more: id('more'), bench: id('bench'), agreement: id('agreement'), today: id('today') };
}

/**
 * Elements for the summary of a report and for today's water.
 *
 * @param {number} i Which water of the day.
 */
export function remarkPlaces(i) {
  const ids = idsOf(i);
  return [
    h('p', { class: 'counts', id: ids.counts, role: 'status' }),
    h('div', { id: ids.look }),
    h('p', { class: 'agreement remark', id: ids.agreement, role: 'status' }),
    h('div', { id: ids.today }),
  ];
}

/**
 * Shows the findings about a report and today's measurements: beside their fields, and below the report.
 *
 * @param {number} i Which water of the day.
 * @param {CheckedReport} report
 * @param {Fields} fields
 */
export function showRemarks(i, { water, problems, isReconciled }, fields) {
  const ids = idsOf(i);
  // Problems of today's measurements do not concern the report.
  const isRefused = problems.some(({ path }) => !path.startsWith(pathText(['sources', i, BENCH])));
  say(ids.counts, summary(water, isRefused));
  const end = byId(ids.look, HTMLElement);
  end.replaceChildren(...(water && !isRefused ? ofReport(water, ids.look, fields) : []));
  if (water?.bench) ofBench(water.bench.findings, ids.look, fields, end);
  showReconciled(i, isReconciled ? water : undefined, fields);
  for (const id of [ids.more, ids.bench]) countIn(byId(id, HTMLElement));
}

/**
 * Puts each remark beside its field; returns what belongs below the report.
 *
 * @param {Water} water
 * @param {string} id
 * @param {Fields} fields
 */
function ofReport(water, id, fields) {
  if (water.entries.length === 0) return [];
  const whole = water.findings.flatMap((finding, n) => {
    const words = remark(finding, `${id}-${n}`);
    return besideField(fieldsOf(finding), words, fields.report) ? [] : [words];
  });
  const limits = water.findings.some(({ code }) => code === 'limit_exceeded') ? [h('p', { class: 'hint' }, LIMITS)] : [];
  return [...worthAsking(water), ...sums(water), ...whole, ...limits];
}

/**
 * @param {readonly Finding[]} findings
 * @param {string} id
 * @param {Fields} fields
 * @param {HTMLElement} end Where remarks without a field go.
 */
function ofBench(findings, id, fields, end) {
  for (const [n, finding] of findings.entries()) {
    const words = remark(finding, `${id}-bench-${n}`);
    if (!besideField(fieldsOf(finding), words, fields.bench)) end.append(words);
  }
}

/**
 * Shows today's water, and the worst disagreement beside its field.
 *
 * @param {number} i Which water of the day.
 * @param {Water | undefined} water
 * @param {Fields} fields
 */
function showReconciled(i, water, fields) {
  const ids = idsOf(i);
  const reconciled = water?.reconciled ?? undefined;
  const worst = reconciled && worstDisagreement(reconciled);
  const failed = water?.reconciliation_error ?? '';
  const agreement = byId(ids.agreement, HTMLElement);
  agreement.classList.toggle('doubt', Boolean(worst || failed));
  say(ids.agreement, failed ? `${failed} The plan uses the report’s figures as written.` : reconciled?.text ?? '');
  const place = byId(ids.today, HTMLElement);
  const wasOpen = place.querySelector('details')?.open ?? true;
  place.replaceChildren(...(water && reconciled ? [...suspects(reconciled), reconciledFigures(water, reconciled, wasOpen)] : []));
  if (!worst || worst.origin === 'usual') return;
  fields[worst.origin](worst.key)?.remarks
    .append(h('p', { class: 'remark doubt' }, h('b', {}, 'Disagrees: '), `${worst.display}. Check it again.`));
}

/**
 * Likely mistakes in the report, with their evidence.
 *
 * @param {Water} water
 */
function worthAsking(water) {
  const asked = questions(water);
  if (asked.length === 0) return [];
  return [
    h('h3', {}, 'Worth asking'),
    h('p', { class: 'hint' }, 'The page changes nothing by itself: ask whoever made the report, then enter what it should say.'),
    h('ul', { class: 'questions' }, ...asked.map(({ text, evidence }) => h('li', {},
      h('p', {}, text),
      h('p', { class: 'display' }, `Evidence: ${evidence.map(likelihoods).join('; ')}.`)))),
  ];
}

/**
 * The mistakes that are likelier than the report as it is written.
 *
 * @param {Water} water
 * @returns {WaterMistake[]}
 */
function questions({ mistakes }) {
  return mistakes.filter(({ odds }) => odds > 1);
}

/**
 * Counts the remarks in a collapsible part.
 *
 * @param {HTMLElement} said
 */
function countIn(said) {
  const count = said.closest('details')?.querySelectorAll('.remark').length ?? 0;
  said.textContent = count === 0 ? '' : `, ${count} ${count === 1 ? 'remark' : 'remarks'}`;
}

/**
 * @param {string} id
 * @param {string} text
 */
function say(id, text) {
  const place = byId(id, HTMLElement);
  if (place.textContent !== text) place.textContent = text;
}

/**
 * @param {Water | undefined} water
 * @param {boolean} isRefused
 */
function summary(water, isRefused) {
  if (!water || isRefused) return 'Fix the entries above to have the report checked again.';
  if (water.entries.length === 0) return 'Enter what the report states, and the page checks it.';
  const asked = questions(water).length;
  const remarks = [counts(water.findings), asked === 0 ? '' : `${asked} worth asking about`].filter(Boolean);
  return remarks.length === 0 ? 'No remarks on this report.' : `Remarks on this report: ${remarks.join(', ')}.`;
}

/**
 * Puts a remark beside the first of its fields that the form has, and makes it describe all of them; false where the
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
 * The keys of the fields that a finding is about, in order; none where it is about the whole report.
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
 * The number of findings of each severity, such as "1 warning, 2 notes"; empty where there are none.
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
 * Cations against anions, and what the ions add up to.
 *
 * @param {Water} water
 */
function sums({ derived, findings }) {
  const { balance, hardness_mg_l_caco3: hardness, residue_on_evaporation_mg_per_l: dry, conductivity_25c_us_per_cm: conductivity } = derived;
  const isFinding = findings.some(({ code }) => code === 'ions_do_not_balance');
  const state = balance.is_acceptable ? 'even' : isFinding ? 'uneven' : 'open';
  const derivedValues = [
    `hardness ${hardness.toFixed(0)} mg/L as CaCO3`,
    `dissolved solids ${dry.toFixed(0)} mg/L`,
    conductivity === null ? '' : `conductivity ${conductivity.toFixed(0)} µS/cm at 25 °C`,
  ].filter(Boolean);
  return [
    h('p', { class: `balance ${state}` }, h('b', {}, 'Ion balance'), h('span', { class: 'state' }, STATES[state])),
    ...[scales(balance)].filter((picture) => picture !== null),
    h('p', { class: 'display' }, `${percentApart(balance.charge_balance_error_percent)} From these ions: ${derivedValues.join(', ')}.`),
  ];
}

/** @param {number} difference Cations less anions over their sum, per cent. */
function percentApart(difference) {
  const size = Math.abs(difference).toFixed(1);
  if (Number(size) === 0) return 'No difference.';
  return `${size} % more ${difference > 0 ? 'cations' : 'anions'}, as difference over sum.`;
}
