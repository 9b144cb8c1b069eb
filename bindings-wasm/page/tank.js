// Shows the ledger of the liquor tank, and hands on its draws and its heel. Every number and sentence comes from the core.

import { problemList } from './answers.js';
import { byId, h } from './dom.js';
import { WORKS } from './fields.js';
import { SEVERITIES } from './remarks.js';
import { IN_WORDS, problemsOf } from './report.js';
import { tank } from './underlet/index.js';

/** @import { Problem, TankFinding, TankLedger, TankLine } from './underlet/index.js' */
/** @import { Bound } from './form.js' */
/** @import { Day, Replace, TankDay } from './state.js' */
/** @typedef {{ value: number, sd: number }} Figure */

/** Shown where there is no ledger yet. */
const NO_DAY = 'Start with a tank and its waters; each line of work then shows what it leaves in '
  + 'the tank.';

const HEADS = ['volume, L', '°C', 'pH', 'calcite SI', 'scale, g'];

export class Ledger {
  #panel = byId('tank-panel', HTMLDetailsElement);
  #place = byId('tank-answer', HTMLElement);
  #said = byId('tank-said', HTMLElement);
  /** @type {string | undefined} The text of the ledger that is shown. */
  #shown;
  /** @type {Day | undefined} The day as it is now. */
  #day;
  #replace;

  /** @param {Replace} replace */
  constructor(replace) {
    this.#replace = replace;
  }

  open() {
    this.#panel.open = true;
  }

  /**
   * Computes the tank's day and shows its ledger.
   *
   * @param {Day} day
   * @returns {Problem[]} What to fix first, with paths of the day.
   */
  work(day) {
    this.#day = day;
    if (!day.tank_day) return this.#clear(NO_DAY);
    try {
      this.#show(tank(JSON.stringify(withoutWords(day.tank_day))));
      return [];
    } catch (refused) {
      const problems = problemsOf(refused).map((problem) => ({ ...problem, path: `tank_day${problem.path && `.${problem.path}`}` }));
      this.#clear(problems.length === 1 ? 'Fix one entry to get the ledger.' : `Fix ${problems.length} entries to get the ledger.`);
      return problems;
    }
  }

  /**
   * @param {readonly Problem[]} problems
   * @param {(Bound | undefined)[]} bounds Their fields.
   */
  refuse(problems, bounds) {
    if (problems.length > 0) this.#place.replaceChildren(problemList(problems, bounds));
  }

  /**
   * @param {string} words
   * @returns {Problem[]} None.
   */
  #clear(words) {
    this.#shown = undefined;
    this.#say(words);
    this.#place.replaceChildren();
    return [];
  }

  /** @param {string} words */
  #say(words) {
    if (this.#said.textContent !== words) this.#said.textContent = words;
  }

  /** @param {TankLedger} ledger */
  #show(ledger) {
    const text = JSON.stringify(ledger);
    if (text === this.#shown) return;
    this.#shown = text;
    this.#say(summary(ledger));
    this.#place.replaceChildren(
      ...findings(ledger),
      h('table', { class: 'ledger' },
        h('caption', {}, 'What the tank holds after each line; scale is what precipitates on that line. ± is one standard deviation.'),
        h('thead', {}, h('tr', {}, ...HEADS.map((text) => h('th', { scope: 'col' }, text)))),
        ...ledger.lines.map((line, i) => this.#line(ledger, line, i))),
      this.#heel(ledger),
    );
  }

  /**
   * @param {TankLedger} ledger
   * @param {TankLine} line
   * @param {number} i
   */
  #line(ledger, line, i) {
    return h('tbody', {},
      h('tr', {}, h('th', { scope: 'rowgroup', colspan: HEADS.length }, `${i + 1} `, h('b', {}, nameOf(line)))),
      h('tr', {},
        cell(line.volume_l, 0), h('td', {}, line.temperature_c.toFixed(0)), cell(line.ph, 2), cell(line.calcite_si, 2), cell(line.losses.scale_g, 0)),
      line.drawn && h('tr', {}, h('td', { colspan: HEADS.length },
        h('p', { class: 'display' }, inWords(line)),
        h('button', { type: 'button', class: 'quiet', id: `use-${i}`, click: () => this.#use(ledger, line, i) },
          'Brew with this liquor', h('span', { class: 'unseen' }, `: line ${i + 1}`)))));
  }

  /**
   * Replaces the brew's waters with the draw.
   *
   * @param {TankLedger} ledger
   * @param {TankLine} line
   * @param {number} i
   */
  #use(ledger, line, i) {
    if (!this.#day || !line.drawn) return;
    const source = {
      name: line.label, liquor: line.drawn.liquor, [IN_WORDS]: `Drawn from the tank, ${ledger.name}, line ${i + 1}: ${inWords(line)}.`,
    };
    this.#replace({ ...this.#day, sources: [source] }, `The brew’s water is now the draw of line ${i + 1} of the tank.`);
  }

  /** @param {TankLedger} ledger */
  #heel({ heel, lines, name }) {
    const last = lines.at(-1);
    if (!last || !(heel.water_kg > 0)) return h('p', {}, 'The tank is empty at the end.');
    const next = () => {
      const tankDay = this.#day?.tank_day;
      if (!this.#day || !tankDay) return;
      const first = { work: 'fill', supply: tankDay.supplies[0]?.name };
      this.#replace({ ...this.#day, tank_day: { ...tankDay, name: `${name}, the day after`, heel, lines: [first] } },
        'The tank’s next day starts with what this one left.', 'tank_day.lines[0].volume');
    };
    return h('section', { class: 'vessel' },
      h('h3', {}, 'What is left', h('span', { class: 'aside' }, ` ${heel.water_kg.toFixed(0)} kg of water at ${heel.temperature_c.toFixed(0)} °C`)),
      h('p', { class: 'display' }, inWords(last)),
      h('button', { type: 'button', class: 'quiet', id: 'next-day', click: next }, 'Start the next day with it'));
  }
}

/**
 * A tank's day without the keys that only the page uses.
 *
 * @param {TankDay} day
 */
function withoutWords(day) {
  return { ...day, supplies: day.supplies.map(({ [IN_WORDS]: _, ...supply }) => supply) };
}

/** @param {TankLine} line */
function nameOf({ work, label }) {
  const plain = WORKS.find(({ key }) => key === work)?.label ?? work;
  return label === work ? plain : `${plain}: ${label}`;
}

/** @param {TankLine} line */
function inWords({ composition, ph_20c: ph }) {
  return [...composition.map(({ key, display }) => `${key} ${display}`), ph ? `pH ${ph.value.toFixed(2)} in a sample cooled to 20 °C` : ''].filter(Boolean).join('; ');
}

/** @param {TankLedger} ledger */
function summary({ losses: { scale_g: scale, steam_kg: steam, carbon_dioxide_g: gas } }) {
  const part = (/** @type {Figure} */ { value, sd }, /** @type {string} */ what) => `${value.toFixed(0)} ± ${sd.toFixed(0)} ${what}`;
  return `On this day ${part(scale, 'g of scale precipitate')}; ${part(steam, 'kg leave as steam')}, ${part(gas, 'g as carbon dioxide')}.`;
}

/**
 * A cell with a number and, where it does not round to zero, its standard deviation.
 *
 * @param {Figure | null} figure
 * @param {number} digits
 */
function cell(figure, digits) {
  if (!figure) return h('td', {}, '–');
  const sd = figure.sd.toFixed(digits);
  // No minus before a number that rounds to zero.
  const value = figure.value.toFixed(digits).replace(/^-(?=[0.]*$)/, '').replace('-', '−');
  return h('td', {}, value, Number(sd) > 0 && ' ', Number(sd) > 0 && h('span', { class: 'aside' }, `± ${sd}`));
}

/** @param {TankLedger} ledger */
function findings({ findings: found }) {
  if (found.length === 0) return [h('p', {}, 'Nothing to watch.')];
  return [h('h3', {}, 'To watch'), h('ul', { class: 'watch' }, ...found.map(finding))];
}

/** @param {TankFinding} finding */
function finding({ severity, line, text, caution, source }) {
  return h('li', { class: `remark ${severity}` },
    h('p', {}, h('b', {}, `${SEVERITIES[severity]}, line ${line + 1}: `), text),
    h('p', {}, h('b', {}, 'Safety: '), caution),
    h('details', {}, h('summary', {}, 'Source'), h('p', { class: 'display' }, source)));
}
