// What the water is today, figure by figure, beside what report and bench say of it. Numbers and sentences are the core's.

import { h } from './dom.js';
import { reach, reachKey } from './pictures.js';

/**
 * @import {
 *   ReconciledEstimate, ReconciledMeasurement, Water, Reconciliation, WaterMistake,
 * } from './underlet/index.js'
 */

/** The chance below which the core, too, speaks of a disagreement. */
const SELDOM = 0.05;

/**
 * The measurement most at odds with the rest, where something does not agree.
 *
 * @param {Reconciliation} today
 */
export function atOdds({ probability, disagreement, measurements }) {
  if (!disagreement || Math.min(probability, disagreement.probability) >= SELDOM) return undefined;
  return measurements.find(({ origin, key }) => origin === disagreement.origin && key === disagreement.key);
}

/**
 * Which of the measurements may be the wrong one.
 *
 * @param {Reconciliation} today
 */
export function suspects(today) {
  const all = atOdds(today) ? today.disagreement?.suspects ?? [] : [];
  if (all.length < 2) return [];
  const named = all.map((suspect) => {
    const found = today.measurements.find(({ origin, key }) => origin === suspect.origin && key === suspect.key);
    return `${found?.label ?? suspect.key} ${(100 * suspect.probability).toFixed(0)} %`;
  });
  return [h('p', { class: 'display' }, `If just one of them is wrong: ${named.join(', ')}.`)];
}

/**
 * How much one check speaks for a mistake, or against it.
 *
 * @param {WaterMistake['evidence'][number]} evidence
 */
export function likelihoods({ check, times_likelier: times }) {
  const size = (/** @type {number} */ number) => String(Number(number.toPrecision(2)));
  return times < 1 ? `${check}, ${size(1 / times)} times less likely` : `${check}, ${size(times)} times likelier`;
}

/**
 * Each figure of today's water; what else was measured follows.
 *
 * @param {Water} water
 * @param {Reconciliation} today
 * @param {boolean} isOpen
 */
export function todaysFigures(water, today, isOpen) {
  const keys = new Set(today.estimates.map(({ key }) => key));
  const others = today.measurements.filter(({ origin, key }) => origin !== 'usual' && !keys.has(key));
  return h('details', { open: isOpen },
    h('summary', {}, 'Today’s water, figure by figure'),
    h('p', { class: 'hint' }, `The best value, and in brackets where it lies nineteen times in twenty. pH at ${today.temperature_c} °C.`),
    reachKey(),
    h('ul', { class: 'figures' },
      ...today.estimates.map((estimate) => figure(estimate, today.measurements, said(water, estimate.key))),
      ...others.map(other)));
}

/**
 * @param {ReconciledEstimate} estimate
 * @param {readonly ReconciledMeasurement[]} measurements
 * @param {string} words
 */
function figure(estimate, measurements, words) {
  const read = (/** @type {ReconciledMeasurement['origin']} */ from) =>
    measurements.find(({ origin, key }) => origin === from && key === estimate.key)?.value;
  const unread = read('usual') === undefined ? 'follows from the others' : 'not measured: from what is usual and the others';
  return h('li', {},
    h('p', { class: 'words' }, h('b', {}, estimate.label), h('span', { class: 'best' }, estimate.display)),
    reach(estimate, { report: read('report'), bench: read('bench') }),
    h('p', { class: 'display' }, words || unread));
}

/**
 * What report and bench say of a figure, as they were written.
 *
 * @param {Water} water
 * @param {string} wanted
 */
function said({ entries, bench }, wanted) {
  const find = (/** @type {Water['entries']} */ list) => list.find(({ key }) => key === wanted)?.display;
  const [reported, measured] = [find(entries), find(bench?.entries ?? [])];
  return [reported && `report ${reported}`, measured && `bench ${measured}`].filter(Boolean).join(', ');
}

/** @param {ReconciledMeasurement} measurement */
function other({ label, display }) {
  return h('li', {}, h('p', { class: 'words' }, h('b', {}, label)), h('p', { class: 'display' }, display));
}
