// Shows the plan. Every number, and every sentence about it, comes from the core.

import { h, reveal } from './dom.js';
import { curve, key, signed, strip } from './pictures.js';

/** @import { Addition, Caution, MashForecast, Plan, Problem, TargetLine, VesselLiquor } from './underlet/index.js' */
/** @import { Bound } from './form.js' */

/** @type {Record<TargetLine['state'], string>} */
const STATES = { met: 'in range', below: 'below the range', above: 'above the range', unknown: 'not known', free: 'no range given' };

/** @type {Record<Caution['severity'], string>} */
const SEVERITIES = { danger: 'Danger', care: 'Care', note: 'Note' };

/**
 * @param {Plan} plan
 * @param {() => void} printSheet
 */
export function toWeigh(plan, printSheet) {
  return [
    h('p', { class: 'summary' }, plan.summary),
    ...plan.vessels.map((vessel) => vesselCard(vessel, plan.additions.filter((addition) => cardOf(addition) === vessel.vessel))),
    ...intoKettle(plan),
    h('button', { type: 'button', click: printSheet }, 'Sheet to print'),
    part('Safety', h('ul', { class: 'cautions' }, ...plan.cautions.map(caution)), plan.cautions.length > 0),
    part('Where the water comes from', h('ul', {}, ...plan.blend.map(({ source, display }) => h('li', {}, h('b', {}, source), ` ${display}`))), plan.blend.length > 0),
    h('h3', {}, 'Water before and after'),
    key(),
    h('ul', { class: 'targets' }, ...plan.targets.map((line) => target(line, plan.mash))),
    untargeted(plan),
    part('Why this plan', list(plan.reasons.map(({ text }) => text)), plan.reasons.length > 0),
    part('Assumptions', list(plan.assumptions), plan.assumptions.length > 0),
  ].filter((node) => node !== null);
}

/**
 * @param {Plan} plan
 * @param {Node} readings What the meters should read, and did read.
 */
export function toRead(plan, readings) {
  const { mash, sparge } = plan;
  return [
    h('p', { class: 'ph' }, 'Mash pH ', h('strong', {}, mash.display)),
    mash.interval_80 && h('p', {}, `In a sample cooled to ${mash.sample_temperature_c} °C; at the rest temperature of ${mash.rest_temperature_c} °C `
      + `the same mash has pH ${mash.ph_at_rest_temperature.toFixed(2)}. Without additions it would be ${mash.ph_untreated.toFixed(2)}.`),
    mash.interval_80 && mash.interval_95 && h('p', {}, `Eight mashes in ten should be between ${between(mash.interval_80)}, `
      + `nineteen in twenty between ${between(mash.interval_95)}.`, chanceOf(mash)),
    curveFigure(mash, plan.targets.find((line) => line.key === 'mash_ph')),
    part('Check readings', readings, plan.readings.length > 0),
    sparge && part('Sparge liquor', spargeLiquor(sparge), true),
    part('What makes the pH uncertain', uncertaintyBudget(mash), mash.uncertainty_budget.length > 0),
  ].filter((node) => node !== null);
}

/**
 * The problems, each with a link to its field.
 *
 * @param {readonly Problem[]} problems
 * @param {(Bound | undefined)[]} bounds
 */
export function toFix(problems, bounds) {
  return [
    h('p', { class: 'summary' }, problems.length === 1 ? 'Fix one entry to get the plan.' : `Fix ${problems.length} entries to get the plan.`),
    problemList(problems, bounds),
  ];
}

/**
 * @param {readonly Problem[]} problems
 * @param {(Bound | undefined)[]} bounds
 */
export function problemList(problems, bounds) {
  return h('ol', { class: 'problems' }, ...problems.map((problem, i) => {
    const control = bounds[i]?.control;
    const where = problem.path === '' ? 'The brew day' : problem.path;
    const go = (/** @type {Event} */ event) => {
      event.preventDefault();
      if (!control) return;
      reveal(control);
      control.focus();
    };
    return h('li', {},
      control ? h('a', { href: `#${control.id}`, click: go }, bounds[i]?.label ?? where, h('span', { class: 'aside' }, ` (${where})`)) : h('b', {}, where),
      h('p', {}, `Found ${problem.found}; expected ${problem.expected}. ${problem.hint}`));
  }));
}

/**
 * @param {string} title
 * @param {Node} content
 * @param {boolean} present
 */
function part(title, content, present) {
  return present ? h('section', { class: 'part' }, h('h3', {}, title), content) : null;
}

/** @param {readonly string[]} texts */
function list(texts) {
  return h('ul', { class: 'sentences' }, ...texts.map((text) => h('li', {}, text)));
}

/** @param {readonly [number, number]} interval */
function between([low, high]) {
  return `${low.toFixed(2)} and ${high.toFixed(2)}`;
}

/** @param {number} share */
function percent(share) {
  return `${(share * 100).toFixed(0)} %`;
}

/**
 * The chance of a range and the confidence asked for; `null` where there is no range.
 *
 * @param {Pick<MashForecast, 'probability_in_range' | 'requested_confidence_percent'>} forecast
 */
function chanceOf({ probability_in_range: chance, requested_confidence_percent: requested }) {
  if (chance === null) return null;
  return ` Chance of meeting the target: ${percent(chance)}${requested === null ? '' : `, ${requested} % requested`}.`;
}

/** @param {NonNullable<Plan['sparge']>} sparge */
function spargeLiquor(sparge) {
  // Where a confidence was asked for, the core's sentence gives the chance.
  const chance = sparge.requested_confidence_percent === null ? chanceOf(sparge) : null;
  return h('p', {}, sparge.display, chance && `.${chance}`);
}

/**
 * @param {Pick<VesselLiquor, 'label' | 'display'>} vessel
 * @param {readonly Addition[]} additions
 */
function vesselCard({ label, display }, additions) {
  return h('section', { class: 'vessel' },
    h('h3', {}, `Into the ${label}`, h('span', { class: 'aside' }, ` ${display}`)),
    additions.length === 0
      ? h('p', {}, 'Nothing to add.')
      : h('ol', { class: 'additions' }, ...additions.map(weighing)),
  );
}

/** @param {Addition} addition The vessel whose card shows it: mash liquor is in the tun. */
function cardOf({ vessel }) {
  return vessel === 'mash_liquor' ? 'mash_tun' : vessel;
}

/** @param {Plan} plan No liquor goes into the kettle, so it has a card only where something is added. */
function intoKettle({ additions, kettle }) {
  const inKettle = additions.filter(({ vessel }) => vessel === 'kettle');
  return inKettle.length === 0 ? [] : [vesselCard({ label: 'kettle', display: `${kettle.water_kg.toFixed(0)} kg of water` }, inKettle)];
}

/** @param {Addition} addition */
function weighing({ step, display, name, when, how, why }) {
  return h('li', { value: step },
    h('p', { class: 'weight' }, h('strong', {}, display), ' ', name),
    h('dl', {},
      h('dt', {}, 'When'), h('dd', {}, when),
      h('dt', {}, 'How'), h('dd', {}, how),
      h('dt', {}, 'What for'), h('dd', {}, why)),
  );
}

/**
 * @param {TargetLine} line
 * @param {MashForecast} mash
 */
function target(line, mash) {
  return h('li', { class: `target ${line.state}` },
    h('p', { class: 'words' }, h('b', {}, line.label), h('span', { class: 'state' }, STATES[line.state])),
    strip(line, line.key === 'mash_ph' ? mash.interval_80 ?? undefined : undefined),
    h('p', { class: 'display' }, line.display),
  );
}

/** @param {Plan} plan Hard limits, and what changes in the water and has no range. */
function untargeted({ dissolved, hard_limits: limits }) {
  const texts = [
    ...limits.map(({ label, display }) => `limit on ${label}: ${display}`),
    ...dissolved.filter(({ listed }) => listed).map(({ display }) => display),
  ];
  return texts.length === 0 ? null : list(texts);
}

/**
 * @param {MashForecast} mash
 * @param {TargetLine | undefined} target
 */
function curveFigure(mash, target) {
  const picture = curve(mash, target);
  if (!picture) return null;
  const rows = mash.curve.map(({ acid_meq_per_kg, ph, sd }) => (
    [signed(acid_meq_per_kg), ph.toFixed(2), plusMinus(sd)]));
  const table = numbers('Mash pH against acid beyond the plan', ['meq per kg of grist', 'pH', 'standard deviation'], rows);
  return h('figure', {}, picture,
    h('figcaption', {}, 'Mash pH with less or more acid. Shaded along the line: one standard deviation either way; '
      + 'vertical bar: eight mashes in ten; horizontal band: the target.'),
    h('details', {}, h('summary', {}, 'As a table'), table));
}

/** @param {number} sd Written with a no-break space, so that no line breaks within. */
function plusMinus(sd) {
  return `±\u00a0${sd.toFixed(2)}`;
}

/** @param {MashForecast} mash */
function uncertaintyBudget({ uncertainty_budget: contributions }) {
  const rows = contributions.map(({ label, sd, share }) => [label, plusMinus(sd), percent(share)]);
  return numbers('Each contribution by itself', ['source of error', 'pH', 'of the variance'], rows);
}

/**
 * A table whose first column names its rows.
 *
 * @param {string} caption
 * @param {readonly string[]} heads
 * @param {readonly (readonly string[])[]} rows
 */
function numbers(caption, heads, rows) {
  const line = (/** @type {readonly string[]} */ [first, ...rest]) =>
    h('tr', {}, h('th', { scope: 'row' }, first), ...rest.map((text) => h('td', {}, text)));
  return h('table', {},
    h('caption', {}, caption),
    h('thead', {}, h('tr', {}, ...heads.map((text) => h('th', { scope: 'col' }, text)))),
    h('tbody', {}, ...rows.map(line)));
}

/** @param {Caution} caution */
function caution({ severity, text }) {
  return h('li', { class: severity }, h('b', {}, `${SEVERITIES[severity]}: `), text);
}
