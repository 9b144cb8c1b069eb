// Charts of what the core computed: a strip for each target, and the mash pH against acid. Every chart
// has the same information in words beside it, so it is hidden from screen readers.

import { h, svg } from './dom.js';

/** @import { MashForecast, TargetLine, WaterBalance } from './underlet/index.js' */

/**
 * A linear scale that maps the range of the values onto `from` to `to`.
 *
 * @param {number[]} values
 * @param {number} from
 * @param {number} to
 */
function across(values, from, to) {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const span = high > low ? high - low : 1;
  return (/** @type {number} */ value) => from + ((value - low) / span) * (to - from);
}

/** @param {number} percent */
const at = (percent) => `${percent.toFixed(2)}%`;

/**
 * A strip: the target as a band, the source as a hollow mark, the plan as a solid one.
 *
 * @param {TargetLine} line
 * @param {readonly [number, number]} [bar] The interval of the plan's value, where it is uncertain.
 */
export function strip({ source, planned, low, high, prefer }, bar) {
  const values = [source, planned, low, high, prefer, ...(bar ?? [])].filter((value) => value !== null);
  const x = across(values, 8, 92);
  const [from, to] = [low === null ? 0 : x(low), high === null ? 100 : x(high)];
  const tick = (/** @type {number} */ value) => [
    svg('line', { x1: at(x(value)), x2: at(x(value)), y1: 6, y2: 34, class: 'edge' }),
    svg('text', { x: at(x(value)), y: 48, 'text-anchor': x(value) < 15 ? 'start' : x(value) > 85 ? 'end' : 'middle' }, short(value)),
  ];
  const hasTarget = low !== null || high !== null;
  return svg('svg', { class: 'strip', 'aria-hidden': 'true', focusable: 'false' },
    hasTarget && svg('rect', { x: at(from), width: at(to - from), y: 10, height: 20, class: 'band' }),
    svg('line', { x1: '0%', x2: '100%', y1: 20, y2: 20, class: 'axis' }),
    ...(low === null ? [] : tick(low)),
    ...(high === null || high === low ? [] : tick(high)),
    prefer !== null && svg('line', { x1: at(x(prefer)), x2: at(x(prefer)), y1: 10, y2: 30, class: 'prefer' }),
    source !== null && planned !== null && svg('line', { x1: at(x(source)), x2: at(x(planned)), y1: 20, y2: 20, class: 'way' }),
    bar && svg('line', { x1: at(x(bar[0])), x2: at(x(bar[1])), y1: 20, y2: 20, class: 'bar' }),
    ...(bar ?? []).map((end) => svg('line', { x1: at(x(end)), x2: at(x(end)), y1: 14, y2: 26, class: 'bar' })),
    source !== null && svg('circle', { cx: at(x(source)), cy: 20, r: 9, class: 'source' }),
    planned !== null && svg('circle', { cx: at(x(planned)), cy: 20, r: 6, class: 'planned' }),
  );
}

/**
 * Cations and anions as bars on one scale, with their numbers; `null` where there are no ions.
 *
 * @param {WaterBalance} balance
 */
export function scales({ cations_meq_per_l: cations, anions_meq_per_l: anions }) {
  const most = Math.max(cations, anions);
  if (!(most > 0)) return null;
  const bar = (/** @type {string} */ name, /** @type {number} */ amount) => h('li', {},
    h('span', {}, name),
    svg('svg', { 'aria-hidden': 'true', focusable: 'false' },
      svg('rect', { x: 1, y: 1, width: at((98 * amount) / most), height: 14, class: name.toLowerCase() })),
    h('span', { class: 'amount-said' }, `${amount.toFixed(2)} meq/L`));
  return h('ul', { class: 'scales' }, bar('Cations', cations), bar('Anions', anions));
}

/**
 * A share of one as a bar.
 *
 * @param {number} part
 */
export function share(part) {
  return svg('svg', { class: 'share', 'aria-hidden': 'true', focusable: 'false' },
    svg('rect', { x: 1, y: 1, width: at(99 * part), height: 8, class: 'cations' }));
}

/**
 * A figure of today's water: its interval as a bar about a solid mark, what the report said as a hollow one, what the bench
 * read as a diamond. The scale begins at zero, except for a pH.
 *
 * @param {{ value: number, interval_95: readonly [number, number], unit: string }} estimate
 * @param {{ report: number | undefined, bench: number | undefined }} read
 */
export function reach({ value, interval_95: [low, high], unit }, { report, bench }) {
  const values = [value, low, high, report, bench].filter((number) => number !== undefined);
  const x = across(unit === '' ? values : [0, ...values], 3, 97);
  return svg('svg', { class: 'reach', 'aria-hidden': 'true', focusable: 'false' },
    svg('line', { x1: '0%', x2: '100%', y1: 14, y2: 14, class: 'axis' }),
    ...reachMarks({ from: at(x(low)), to: at(x(high)), value: at(x(value)) }, {
      report: report === undefined ? undefined : at(x(report)), bench: bench === undefined ? undefined : at(x(bench)),
    }));
}

/**
 * @param {{ from: string, to: string, value: string }} bar
 * @param {{ report: string | undefined, bench: string | undefined }} read
 */
function reachMarks({ from, to, value }, { report, bench }) {
  const end = (/** @type {string} */ x) => svg('line', { x1: x, x2: x, y1: 8, y2: 20, class: 'bar' });
  return [
    svg('line', { x1: from, x2: to, y1: 14, y2: 14, class: 'bar' }), end(from), end(to),
    svg('circle', { cx: value, cy: 14, r: 5, class: 'planned' }),
    report !== undefined && svg('circle', { cx: report, cy: 14, r: 9, class: 'ring' }),
    bench !== undefined && svg('svg', { x: bench, y: 14, class: 'spot' }, svg('path', { d: 'M0-11L11 0L0 11L-11 0Z', class: 'ring' })),
  ];
}

/** Key to the marks of today's water. */
export function reachKey() {
  const mark = (/** @type {(Node | false)[]} */ marks, /** @type {string} */ text) => h('li', {},
    svg('svg', { class: 'mark', viewBox: '0 4 28 20', 'aria-hidden': 'true', focusable: 'false' }, ...marks), text);
  const [line, from, to, dot, ring, diamond] = reachMarks({ from: '3', to: '25', value: '14' }, { report: '14', bench: '14' });
  return h('ul', { class: 'key' },
    mark([line, from, to, dot].filter((part) => part !== undefined), 'solid, with its bar: today'),
    mark([ring ?? false], 'ring: report'), mark([diamond ?? false], 'diamond: measured today'));
}

/** Key to the marks of a strip. */
export function key() {
  const mark = (/** @type {string} */ kind, /** @type {string} */ text) => h('li', {},
    svg('svg', { class: 'mark', viewBox: '0 0 28 20', 'aria-hidden': 'true', focusable: 'false' },
      kind === 'band'
        ? svg('g', {}, svg('rect', { x: 3, y: 2, width: 22, height: 16, class: 'band' }),
          svg('line', { x1: 3, x2: 3, y1: 0, y2: 20, class: 'edge' }), svg('line', { x1: 25, x2: 25, y1: 0, y2: 20, class: 'edge' }))
        : svg('circle', { cx: 14, cy: 10, r: kind === 'source' ? 8 : 6, class: kind })),
    text);
  return h('ul', { class: 'key' },
    mark('source', 'hollow: untreated'), mark('planned', 'solid: plan'), mark('band', 'band: target'));
}

/**
 * A number rounded to four significant digits.
 *
 * @param {number} value
 */
function short(value) {
  return String(Number(value.toPrecision(4)));
}

/**
 * A number with its sign.
 *
 * @param {number} value
 */
export function signed(value) {
  return value > 0 ? `+${short(value)}` : short(value).replace('-', '−');
}

const WIDTH = 360;
const HEIGHT = 230;
const LEFT = 40;
const RIGHT = 350;
const TOP = 12;
const BOTTOM = 190;

/** @param {readonly (readonly [number, number])[]} points */
const path = (points) => points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${x.toFixed(1)} ${y.toFixed(1)}`).join('');

/**
 * The mash pH against acid beyond the plan, with its error band, and the target where there is one.
 *
 * @param {MashForecast} mash
 * @param {TargetLine | undefined} target
 */
export function curve({ curve: points, ph, interval_80: interval }, target) {
  if (!interval || points.length < 2) return null;
  const [barLow, barHigh] = interval;
  const range = [target?.low, target?.high].filter((value) => typeof value === 'number');
  const upper = points.map((point) => point.ph + point.sd);
  const lower = points.map((point) => point.ph - point.sd);
  const y = across([...upper, ...lower, ...range], BOTTOM, TOP);
  const x = across(points.map((point) => point.acid_meq_per_kg), LEFT, RIGHT);
  const xs = points.map((point) => x(point.acid_meq_per_kg));
  const line = (/** @type {number[]} */ values) => values.map((value, i) => /** @type {[number, number]} */ ([xs[i], y(value)]));
  const level = (/** @type {number} */ value) => [
    svg('line', { x1: LEFT, x2: RIGHT, y1: y(value), y2: y(value), class: 'edge' }),
    svg('text', { x: LEFT - 6, y: y(value) + 4, 'text-anchor': 'end' }, value.toFixed(2)),
  ];
  const ends = points.filter((_, i) => i === 0 || i === points.length - 1);
  const [low, high] = [target?.low ?? null, target?.high ?? null];
  const bandTop = high === null ? TOP : y(high);
  const bandBottom = low === null ? BOTTOM : y(low);
  return svg('svg', { class: 'curve', viewBox: `0 0 ${WIDTH} ${HEIGHT}`, 'aria-hidden': 'true', focusable: 'false' },
    range.length > 0 && svg('rect', { x: LEFT, width: RIGHT - LEFT, y: bandTop, height: bandBottom - bandTop, class: 'band' }),
    svg('path', { d: `${path(line(upper))}${path(line(lower).reverse()).replace('M', 'L')}Z`, class: 'error-band' }),
    ...range.flatMap(level),
    svg('path', { d: path([[LEFT, TOP], [LEFT, BOTTOM], [RIGHT, BOTTOM]]), class: 'axis' }),
    svg('path', { d: path(line(points.map((point) => point.ph))), class: 'line' }),
    svg('line', { x1: x(0), x2: x(0), y1: y(barLow), y2: y(barHigh), class: 'bar' }),
    svg('circle', { cx: x(0), cy: y(ph), r: 6, class: 'planned' }),
    ...ends.map(({ acid_meq_per_kg: acid }) => svg('text', {
      x: x(acid), y: BOTTOM + 16, 'text-anchor': acid < 0 ? 'start' : 'end',
    }, signed(acid))),
    svg('text', { x: x(0), y: BOTTOM + 16, 'text-anchor': 'middle' }, 'plan'),
    svg('text', { x: (LEFT + RIGHT) / 2, y: BOTTOM + 34, 'text-anchor': 'middle' }, 'acid beyond the plan, meq per kg of grist'),
    svg('text', { x: 4, y: TOP + 4 }, 'pH'),
  );
}
