// Shows the diagnosis of the readings. Verdicts, numbers and likelihoods come from the core; what to do next is common
// practice, without a source.

import { h } from './dom.js';
import { share } from './pictures.js';

/** @import { Diagnosis, DiagnosisExplanation, DiagnosisReading } from './underlet/index.js' */

/** @type {Record<DiagnosisReading['meter'], string>} */
export const METERS = { ph: 'pH', conductivity: 'conductivity', temperature: 'temperature' };

/** @type {Record<DiagnosisReading['meter'], number>} Digits behind the point. */
const DIGITS = { ph: 2, conductivity: 0, temperature: 1 };

/** @type {Record<DiagnosisExplanation['code'], string>} */
const TO_DO = {
  nothing_wrong: 'No mistake with an addition, and no probe that is off.',
  forgotten: 'Check whether it is still there, weighed out. If it is, add it now as the plan describes, and read again.',
  doubled: 'Weigh what is left of it before you believe this. It cannot be removed: only more untreated water dilutes it.',
  half_dissolved: 'Look for undissolved salt at the bottom, keep the liquor moving, and read again.',
  half_strength: 'Check the label and the age of the acid, and titrate it if you can. Add more in small doses only, and read after each.',
  swapped: 'Compare the tubs with the plan, and weigh what is left in both, before you add anything more.',
  probe_off: 'Read a reference sample with it (“Check a probe”), calibrate it, and read again. Change no addition because of it.',
};

/** How many explanations are shown beyond those that the verdict names: as many as in the core's text. */
const BEYOND = 3;

/**
 * What liquor, mash, kettle and runnings still need, the likeliest explanations, each with what
 * to do, and every reading beside the expected one.
 *
 * @param {Diagnosis} diagnosis
 */
export function diagnosed({ explanations, named, compared, to_do: toDo }) {
  return [
    ...toDo.map((text) => h('p', {}, text)),
    h('ol', { class: 'explanations' }, ...explanations.slice(0, named + BEYOND).filter(isLikely).map(explanation)),
    h('details', {}, h('summary', {}, 'Each reading beside the expected one'),
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
 * False where the rounded probability is below 1 %.
 *
 * @param {DiagnosisExplanation} explanation
 */
function isLikely({ probability }) {
  return probability > 0.005;
}

/**
 * How far a reading is from the expected one.
 *
 * @param {DiagnosisReading} reading
 */
export function offBy({ as_expected: isExpected, off_by: off, meter, unit }) {
  if (isExpected) return h('p', { class: 'state' }, 'as expected');
  const way = off < 0 ? 'below' : 'above';
  const size = Math.abs(off).toFixed(DIGITS[meter]);
  return h('p', { class: way }, h('span', { class: 'state' }, `${size}${unit && ` ${unit}`} ${way}`));
}
