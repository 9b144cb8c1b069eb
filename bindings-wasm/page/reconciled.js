// Shows today's water, value by value, beside the report and today's measurements. Numbers and sentences come from the core.

import { h } from './dom.js';
import { reach, reachKey } from './pictures.js';

/**
 * @import {
 *   ReconciledEstimate, ReconciledMeasurement, Water, Reconciliation, WaterMistake,
 * } from './underlet/index.js'
 */

/** Below this probability the core reports a disagreement. */
const DISAGREEMENT = 0.05;

/**
 * The measurement that disagrees most with the rest, where something does not agree.
 *
 * @param {Reconciliation} reconciled
 */
export function worstDisagreement({ probability, disagreement, measurements }) {
  if (!disagreement || Math.min(probability, disagreement.probability) >= DISAGREEMENT) return undefined;
  return measurements.find(({ origin, key }) => origin === disagreement.origin && key === disagreement.key);
}

/**
 * Which of the measurements may be wrong.
 *
 * @param {Reconciliation} reconciled
 */
export function suspects(reconciled) {
  const all = worstDisagreement(reconciled) ? reconciled.disagreement?.suspects ?? [] : [];
  if (all.length < 2) return [];
  const named = all.map((suspect) => {
    const found = reconciled.measurements.find(({ origin, key }) => origin === suspect.origin && key === suspect.key);
    return `${found?.label ?? suspect.key} ${(100 * suspect.probability).toFixed(0)} %`;
  });
  return [h('p', { class: 'display' }, `If just one of them is wrong: ${named.join(', ')}.`)];
}

/**
 * How strongly one check supports a mistake, or speaks against it.
 *
 * @param {WaterMistake['evidence'][number]} evidence
 */
export function likelihoods({ check, times_likelier: times }) {
  const size = (/** @type {number} */ number) => String(Number(number.toPrecision(2)));
  return times < 1 ? `${check}, ${size(1 / times)} times less likely` : `${check}, ${size(times)} times likelier`;
}

/**
 * Each value of today's water, then the other measurements.
 *
 * @param {Water} water
 * @param {Reconciliation} reconciled
 * @param {boolean} isOpen
 */
export function reconciledFigures(water, reconciled, isOpen) {
  const keys = new Set(reconciled.estimates.map(({ key }) => key));
  const others = reconciled.measurements.filter(({ origin, key }) => origin !== 'usual' && !keys.has(key));
  return h('details', { open: isOpen },
    h('summary', {}, 'Today’s water, value by value'),
    h('p', { class: 'hint' }, `The best estimate, with its 95 % interval in brackets. pH at ${reconciled.temperature_c} °C.`),
    reachKey(),
    h('ul', { class: 'figures' },
      ...reconciled.estimates.map((estimate) => figure(estimate, reconciled.measurements, asWritten(water, estimate.key))),
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
  const unmeasured = read('usual') === undefined ? 'derived from the others' : 'not measured: from usual values and the others';
  return h('li', {},
    h('p', { class: 'words' }, h('b', {}, estimate.label), h('span', { class: 'best' }, estimate.display)),
    reach(estimate, { report: read('report'), bench: read('bench') }),
    h('p', { class: 'display' }, words || unmeasured));
}

/**
 * The value as written in the report and as measured today.
 *
 * @param {Water} water
 * @param {string} key
 */
function asWritten({ entries, bench }, key) {
  const find = (/** @type {Water['entries']} */ list) => list.find((entry) => entry.key === key)?.display;
  const [reported, measured] = [find(entries), find(bench?.entries ?? [])];
  return [reported && `report ${reported}`, measured && `measured ${measured}`].filter(Boolean).join(', ');
}

/** @param {ReconciledMeasurement} measurement */
function other({ label, display }) {
  return h('li', {}, h('p', { class: 'words' }, h('b', {}, label)), h('p', { class: 'display' }, display));
}
