// What the core makes of readings, as a person reads it. Verdicts, numbers and likelihoods are the core's; what to do next is
// common practice, without a source.

import { h } from './dom.js';
import { share } from './pictures.js';

/** @import { Diagnosis, DiagnosisExplanation, DiagnosisReading } from './underlet/index.js' */

/** @type {Record<DiagnosisReading['meter'], string>} */
export const METERS = { ph: 'pH', conductivity: 'conductivity', temperature: 'temperature' };

/** @type {Record<DiagnosisReading['meter'], number>} Digits behind the point. */
const DIGITS = { ph: 2, conductivity: 0, temperature: 1 };

/** @type {Record<DiagnosisExplanation['code'], string>} */
const TO_DO = {
  nothing_wrong: 'Go on as planned.',
  forgotten: 'See whether it still stands there, weighed out. If it does, give it now as the plan says how, and read again.',
  doubled: 'Weigh what is left of it before you believe this. It cannot be taken out again: only more of the untreated water thins it.',
  half_dissolved: 'Look at the bottom, keep the liquor moving, and read again.',
  half_strength: 'Look at label and age of the acid, and titrate it if you can. Give more in small doses only, and read after each.',
  swapped: 'Compare the tubs with the plan, and weigh what is left in both, before anything more is given.',
  probe_off: 'Read a known water with it (“To doubt a probe”), calibrate it, and read again. Change no addition because of it.',
};

/** Explanations that are shown beyond those that the verdict names: as many as in the core's own text. */
const BEYOND = 3;

/**
 * The likeliest explanations, each with what to do, and every reading beside what it should be.
 *
 * @param {Diagnosis} diagnosis
 */
export function diagnosed({ explanations, named, compared }) {
  return [
    h('ol', { class: 'explanations' }, ...explanations.slice(0, named + BEYOND).filter(isWorthTelling).map(explanation)),
    h('details', {}, h('summary', {}, 'Each reading beside what it should be'),
      h('ul', { class: 'sentences' }, ...compared.map(({ text }) => h('li', {}, text)))),
  ];
}

/** @param {DiagnosisExplanation} explanation */
function explanation({ code, text, probability }) {
  return h('li', {},
    h('p', { class: 'words' }, h('b', {}, text), h('span', { class: 'likelihood' }, likelihood(probability))),
    share(probability),
    h('p', { class: 'display' }, TO_DO[code]));
}

/** @param {number} probability */
function likelihood(probability) {
  return probability > 0.995 ? 'over 99 %' : `${(100 * probability).toFixed(0)} %`;
}

/**
 * False for what does not come to one in a hundred.
 *
 * @param {DiagnosisExplanation} explanation
 */
function isWorthTelling({ probability }) {
  return probability > 0.005;
}

/**
 * How far a reading lies off, in a word with its mark.
 *
 * @param {DiagnosisReading} reading
 */
export function offBy({ as_expected: isExpected, off_by: off, meter, unit }) {
  if (isExpected) return h('p', { class: 'state' }, 'as expected');
  const way = off < 0 ? 'below' : 'above';
  const size = Math.abs(off).toFixed(DIGITS[meter]);
  return h('p', { class: way }, h('span', { class: 'state' }, `${size}${unit && ` ${unit}`} ${way}`));
}
