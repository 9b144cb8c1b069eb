// The form of a brew day: controls bound to paths of the document, and problems shown beside the control they name.

import { amount } from './amount.js';
import { byId, h, reveal } from './dom.js';
import { families, fill, reasons } from './family.js';
import {
  BENCH_READ, BENCH_WAYS, BREWS, CONFIDENCES, KETTLE, MALT_LOT, MASH, mayGo, MORE_TARGETS, MORE_WATER, REPORT_ONLY, SPARGE, TANK, TARGETS, WATER,
} from './fields.js';
import { isBare, ratio } from './quantity.js';
import { idsOf, remarkPlaces, showRemarks } from './remarks.js';
import { BENCH, checkReports, IN_WORDS, isLiquor, REPORT, toPlan } from './report.js';
import { get, isPart, pathText, set } from './state.js';
import { tankFields } from './tank-form.js';

/** @import { Names, Problem } from './underlet/index.js' */
/** @import { Field } from './fields.js' */
/** @import { CheckedReport } from './report.js' */
/** @import { Day, Part, Path, Replace } from './state.js' */
/** @typedef {DayForm['kit']} Kit How a part of the form is built. */
/** @typedef {HTMLInputElement | HTMLSelectElement} Control */
/**
 * A control with the elements beside it for its problems and remarks, and the ids of what always describes it.
 *
 * @typedef {{ control: Control, mistakes: HTMLElement, remarks: HTMLElement, described: string, label: string }} Bound
 */

export class DayForm {
  /** @type {Map<string, Bound>} */
  #bound = new Map();
  /** @type {Map<string, unknown>} Parts that are switched off, to restore when they are switched on again. */
  #setAside = new Map();
  /** The family of beer whose targets were last filled in. */
  #family = '';
  /** @type {Set<string>} Which collapsible parts are open. */
  #open = new Set();
  /** @type {Set<string>} The paths of the problems that are shown. */
  #marked = new Set();
  /** @type {CheckedReport[]} What the core last found in the reports. */
  #reports = [];
  /** @type {Day} */
  #day;
  #names;
  #changed;
  #replace;
  /** What the tank's part of the form is built with. */
  kit = {
    text: this.#text.bind(this), amount: this.#amount.bind(this), choice: this.#choice.bind(this), reagent: this.#reagent.bind(this),
    add: this.#add.bind(this), remove: this.#remove.bind(this), details: this.#details.bind(this), rebuilt: this.#rebuilt.bind(this),
    unitOf: (/** @type {unknown} */ reagent) => this.#names.reagents.find(({ key }) => key === reagent)?.unit ?? '',
    today: (/** @type {number} */ i) => toPlan(this.#day.sources[i] ?? {}, this.#reports[i]),
    replace: (/** @type {Parameters<Replace>} */ ...next) => this.#replace(...next),
  };

  /**
   * @param {Day} day
   * @param {Names} names
   * @param {() => void} changed Called after every change of the day.
   * @param {Replace} replace
   */
  constructor(day, names, changed, replace) {
    this.#day = day;
    this.#names = names;
    this.#changed = changed;
    this.#replace = replace;
    for (const id of ['day', 'tank-form']) byId(id, HTMLFormElement).addEventListener('submit', (event) => event.preventDefault());
  }

  /** @param {Day} day */
  show(day) {
    this.#day = day;
    this.#family = '';
    this.#setAside.clear();
    this.#marked.clear();
    this.#build();
  }

  /**
   * Shows each problem beside the control it names, and returns that control. A collapsed part around it opens once: whoever
   * closes it again has seen it.
   *
   * @param {readonly Problem[]} problems
   * @returns {(Bound | undefined)[]}
   */
  mark(problems) {
    for (const { control, mistakes } of this.#bound.values()) {
      control.removeAttribute('aria-invalid');
      mistakes.replaceChildren();
    }
    const seen = this.#marked;
    this.#marked = new Set(problems.map(({ path }) => path));
    return problems.map((problem) => {
      const bound = this.#nearest(problem.path, problem.hint);
      if (!bound) return undefined;
      bound.control.setAttribute('aria-invalid', 'true');
      bound.mistakes.append(h('p', {}, `Expected ${problem.expected}. ${problem.hint}`));
      if (!seen.has(problem.path)) reveal(bound.control);
      return bound;
    });
  }

  /** Checks the water reports and shows the findings beside their fields. */
  showReports() {
    for (const { control, remarks, described } of this.#bound.values()) {
      control.setAttribute('aria-describedby', described);
      remarks.replaceChildren();
    }
    const reports = checkReports(this.#day);
    this.#reports = reports;
    reports.forEach((report, i) => isLiquor(this.#day.sources[i] ?? {}) || showRemarks(i, report, {
      report: (key) => this.#bound.get(pathText(['sources', i, key])) ?? this.#bound.get(pathText(['sources', i, REPORT, key])),
      bench: (key) => this.#atBench(i, key),
    }));
    return reports;
  }

  /**
   * The control of a measurement: the value itself, or the first number of its titration.
   *
   * @param {number} i Which water.
   * @param {string} key
   */
  #atBench(i, key) {
    const at = ['sources', i, BENCH];
    const bench = get(this.#day, at);
    const ways = [key, ...BENCH_WAYS.map((way) => way.key).filter((way) => way.startsWith(`${key}_`))];
    const way = ways.find((name) => isPart(bench) && name in bench);
    return way === undefined ? undefined : this.#nearest(pathText([...at, way]));
  }

  /**
   * The control of a path: its own, else that of the nearest part around it, else the one inside it whose key the hint names,
   * or the first.
   *
   * @param {string} path
   * @param {string} [hint] How to fix the problem.
   */
  #nearest(path, hint = '') {
    for (let around = path; around !== ''; around = around.replace(/(?:^|\.)[^.[\]]*$|\[\d+\]$/, '')) {
      const bound = this.#bound.get(around);
      if (bound) return bound;
    }
    if (path === '') return undefined;
    const inside = [...this.#bound].filter(([key]) => key.startsWith(`${path}.`) || key.startsWith(`${path}[`));
    const named = inside.find(([key]) => hint.includes(`"${key.slice(key.lastIndexOf('.') + 1)}"`));
    return (named ?? inside[0])?.[1];
  }

  /** Rebuilds the form; the focus stays on the control of the same path. */
  #build() {
    const focused = document.activeElement?.id;
    this.#bound.clear();
    byId('sources', HTMLElement).replaceChildren(...this.#water());
    byId('brew', HTMLElement).replaceChildren(...this.#beer());
    byId('tank-given', HTMLElement).replaceChildren(...tankFields(this.#day, this.kit));
    if (focused) document.getElementById(focused)?.focus();
  }

  #rebuilt() {
    this.#build();
    this.#changed();
    // At once, so that nothing jumps while the plan is computed.
    this.showReports();
  }

  #water() {
    const { sources } = this.#day;
    const parts = sources.map((_, i) => {
      const at = ['sources', i];
      const alone = isLiquor(sources[i] ?? {}) ? 'The liquor' : 'The water report';
      const title = sources.length > 1 ? `Water ${i + 1}` : alone;
      return h('fieldset', { class: 'source' },
        h('legend', {}, title),
        this.#text([...at, 'name'], 'Name of this water'),
        ...(isLiquor(sources[i] ?? {}) ? this.#liquor(i) : this.#report(i)),
        sources.length > 1 && this.#remove(['sources'], i, 'this water', String(sources[i]?.name ?? '')),
      );
    });
    return [
      h('p', { class: 'hint' }, 'A number is in the unit beside it. If your report uses another unit, write it with the number: 8 °dH, 0.4 mmol/L, '
        + '3 mg/L as N. Entries such as <0.5, n.d., trace, 12-18 and 5 ± 1 are understood too.'),
      ...parts,
      this.#add(['sources'], sources.length > 0 ? 'Add another water' : 'Add a water', { name: '' }, 'name'),
    ];
  }

  /** @param {number} i Which water. */
  #report(i) {
    return [
      h('div', { class: 'fields' }, ...WATER.map((field) => this.#stated(['sources', i], field))),
      this.#moreOfReport(i),
      this.#bench(i),
      ...remarkPlaces(i),
    ];
  }

  /**
   * A water that the engine wrote, such as a draw of the tank.
   *
   * @param {number} i
   */
  #liquor(i) {
    const words = this.#day.sources[i]?.[IN_WORDS];
    return [
      h('p', { class: 'display' }, typeof words === 'string' ? words : 'Liquor as the engine wrote it, each amount with its uncertainty.'),
      h('div', { class: 'fields' }, ...MORE_WATER.filter(({ key }) => key === 'max_amount').map((field) => this.#amount(['sources', i], field))),
    ];
  }

  #beer() {
    return [
      h('div', { class: 'names' }, this.#text(['name'], 'Name of the brew'), this.#text(this.#houseName(), 'Brewhouse')),
      this.#grist(),
      this.#vessels(),
      this.#targets(),
      this.#shelf(),
    ];
  }

  /** A brewhouse is its name alone, or an object with its dead volumes and scales, which the form leaves as they are. */
  #houseName() {
    return isPart(get(this.#day, ['brewhouse'])) ? ['brewhouse', 'name'] : ['brewhouse'];
  }

  #grist() {
    const { grist } = this.#day;
    const known = h('datalist', { id: 'malts' }, ...this.#names.malts.map((value) => h('option', { value })));
    const rows = grist.map((_, i) => h('li', { class: 'item' },
      h('div', { class: 'pair' },
        this.#text(['grist', i, 'malt'], 'Malt or adjunct', { list: 'malts' }),
        this.#amount(['grist', i], { key: 'mass', label: 'Mass', unit: 'kg' }),
      ),
      this.#more(['grist', i], 'This lot’s certificate or titration', MALT_LOT),
      this.#remove(['grist'], i, 'this malt', String(grist[i]?.malt ?? '')),
    ));
    return h('fieldset', {}, h('legend', {}, 'Grist'), known, h('ul', { class: 'items' }, ...rows),
      this.#add(['grist'], 'Add a malt', { malt: '' }, 'malt'));
  }

  #vessels() {
    const { brews } = this.#day;
    const count = (/** @type {string} */ key) => set(this.#day, ['brews'], key === '1' ? undefined : Number(key));
    return h('fieldset', {}, h('legend', {}, 'Vessels'),
      h('p', { class: 'hint' }, 'Malts, liquor, fill and boil-off are those of the recipe and are scaled. Mash and sparge are per brew; the tank’s fill serves all brews.'),
      h('div', { class: 'fields' },
        this.#amount([], { key: 'recipe_scale', label: 'Scale recipe by', unit: '' }),
        this.#choice(['brews'], 'Identical brews', BREWS, String(ratio(brews) ?? brews ?? 1), '', count)),
      this.#optional('hot_liquor_tank', 'I have a hot-liquor tank that I can dose', TANK),
      h('h3', {}, 'Mash'),
      h('div', { class: 'fields' }, ...MASH.map((field) => this.#amount(['mash'], field))),
      this.#optional('sparge', 'I sparge', SPARGE),
      this.#optional('kettle', 'I know my boil, or add zinc', KETTLE),
    );
  }

  #targets() {
    const more = MORE_TARGETS.map((field) => this.#range(field));
    return h('fieldset', {}, h('legend', {}, 'Targets'),
      h('p', { class: 'hint' }, 'Ions of all brewing liquor together, mash and sparge. Leave a field empty for no limit on that side.'),
      this.#choice(['family'], 'Targets for', families(), this.#family, 'Choose a family of beer', (family) => this.#begin(family)),
      this.#family !== '' && this.#details('family', 'Why these ranges', reasons(this.#family), false),
      ...TARGETS.flatMap((field) => [this.#range(field), field.key in CONFIDENCES && this.#confidence(field.key)]),
      this.#details('targets', 'More targets', more, MORE_TARGETS.some(({ key }) => key in this.#day.targets)),
    );
  }

  /** @param {string} family */
  #begin(family) {
    this.#family = family;
    fill(this.#day, family);
  }

  #shelf() {
    const { shelf } = this.#day;
    const rows = shelf.map((item, i) => {
      const known = this.#names.reagents.find(({ key }) => key === item.reagent);
      const unit = known?.unit ?? '';
      const at = ['shelf', i];
      return h('li', { class: 'item' },
        h('div', { class: 'pair' },
          this.#reagent([...at, 'reagent'], item.reagent),
          h('div', { class: 'doses' },
            (unit === 'mL' || 'strength' in item) && this.#amount(at, { key: 'strength', label: 'Strength', unit: '%' }),
            this.#amount(at, { key: 'step', label: 'Scale step', unit }),
          ),
        ),
        this.#details(pathText(at), 'Limits for this reagent', [
          h('div', { class: 'fields' },
            this.#amount(at, { key: 'min_dose', label: 'Smallest dose worth weighing', unit }),
            this.#amount(at, { key: 'stock', label: 'In stock', unit }),
            this.#amount(at, { key: 'cost', label: unit === 'mL' ? 'Cost of a litre' : 'Cost of a kilogram', unit: '' }),
          ),
          this.#places(at, known?.name ?? String(item.reagent ?? '')),
        ], ['min_dose', 'stock', 'cost', 'vessels'].some((key) => key in item)),
        this.#remove(['shelf'], i, 'this reagent', known?.name ?? ''),
      );
    });
    return h('fieldset', {}, h('legend', {}, 'On the shelf'), h('ul', { class: 'items' }, ...rows),
      this.#add(['shelf'], 'Add a reagent', { reagent: '' }, 'reagent'));
  }

  /**
   * A labelled control with room for its problems, bound to a path.
   *
   * @param {Path} path
   * @param {string} label
   * @param {Control} control
   * @param {Node} [shown] What to show in place of the bare control.
   */
  #labelled(path, label, control, shown = control) {
    const key = pathText(path);
    control.id = key;
    const mistakes = h('div', { class: 'mistakes', id: `${key}-mistakes` });
    const remarks = h('div', { class: 'remarks', id: `${key}-remarks` });
    const described = [control.getAttribute('aria-describedby'), mistakes.id, remarks.id].filter(Boolean).join(' ');
    control.setAttribute('aria-describedby', described);
    this.#bound.set(key, { control, mistakes, remarks, described, label: control.getAttribute('aria-label') ?? label });
    return h('div', { class: 'field' }, h('label', { for: key }, label), shown, h('div', { class: 'notes' }, mistakes, remarks));
  }

  /**
   * @param {Path} path
   * @param {string} label
   * @param {{ list?: string }} [more]
   */
  #text(path, label, { list } = {}) {
    const value = get(this.#day, path);
    const input = h('input', { type: 'text', list, value: value === undefined ? '' : String(value), spellcheck: 'false' });
    input.addEventListener('input', () => this.#set(path, input.value === '' ? undefined : input.value));
    return this.#labelled(path, label, input);
  }

  /**
   * A quantity: a number with its unit beside it.
   *
   * @param {Path} at
   * @param {Field} field
   * @param {string} [spoken] What to call it where the label alone would not do.
   */
  #amount(at, { key, label, unit, bare = unit }, spoken) {
    const path = [...at, key];
    const value = get(this.#day, path);
    const write = (/** @type {string | number | undefined} */ typed) => this.#set(path, typed);
    const { input, shown } = amount({ id: pathText(path), value, unit: isBare(value) ? bare : unit, spoken, write });
    return this.#labelled(path, label, input, shown);
  }

  /**
   * A figure of a report, which may be more than a number with a unit: letters must be at hand on a phone.
   *
   * @param {Path} at
   * @param {Field} field
   * @param {string} [spoken]
   */
  #stated(at, field, spoken) {
    const shown = this.#amount(at, field, spoken);
    shown.querySelector('input')?.setAttribute('inputmode', 'text');
    return shown;
  }

  /** @param {number} i Which water. */
  #moreOfReport(i) {
    const at = ['sources', i];
    const more = [...at, REPORT];
    const day = h('input', { type: 'date', value: String(get(this.#day, [...more, 'sampled']) ?? '') });
    day.addEventListener('input', () => this.#set([...more, 'sampled'], day.value === '' ? undefined : day.value));
    const controls = h('div', { class: 'fields' },
      ...REPORT_ONLY.map((field) => this.#stated(more, field)),
      this.#labelled([...more, 'sampled'], 'Day of sampling', day),
      ...MORE_WATER.map((field) => this.#stated(at, field)),
    );
    const used = MORE_WATER.some(({ key }) => get(this.#day, [...at, key]) !== undefined) || get(this.#day, more) !== undefined;
    const said = h('span', {}, 'More of the report', h('span', { id: idsOf(i).more }));
    return this.#details(pathText(at), said, [controls], used);
  }

  /** @param {number} i Which water. */
  #bench(i) {
    const at = ['sources', i, BENCH];
    const bench = get(this.#day, at);
    const ways = BENCH_WAYS.map(({ key, label, fields }) => h('div', { role: 'group', 'aria-label': label },
      h('p', { class: 'way', 'aria-hidden': 'true' }, label),
      h('div', { class: 'fields' }, ...fields.map((field) => this.#stated([...at, key], field, `${label}: ${field.label}`))),
    ));
    const isTitrated = BENCH_WAYS.some(({ key }) => isPart(bench) && key in bench);
    return this.#details(pathText(at), h('span', {}, 'Today’s measurements', h('span', { id: idsOf(i).bench })), [
      h('p', { class: 'hint' }, 'What you measured yourself today. The plan then uses the water that fits report and measurements best.'),
      h('div', { class: 'fields' }, ...BENCH_READ.map((field) => this.#stated(at, field))),
      this.#details(`${pathText(at)}.ways`, 'From a titration or a drop kit', [
        h('p', { class: 'hint' }, 'Acid to pH 4.5 or methyl orange. Its strength is that of the hydrogen ions it gives: '
          + '0.01 mol/L of sulfuric acid is 0.02.'),
        ...ways,
      ], isTitrated),
    ], bench !== undefined);
  }

  /** @param {Field} field */
  #range(field) {
    const at = ['targets', field.key];
    if (typeof get(this.#day, at) === 'string') return this.#text(at, `${field.label}, as a range`);
    return h('div', { class: 'range', role: 'group', 'aria-label': `${field.label}, range` },
      h('span', { class: 'of', 'aria-hidden': 'true' }, field.label),
      this.#amount(at, { ...field, key: 'low', label: 'from' }, `${field.label} from`),
      this.#amount(at, { ...field, key: 'high', label: 'to' }, `${field.label} to`),
    );
  }

  /**
   * The confidence asked for a pH, shown below its range.
   *
   * @param {string} key
   */
  #confidence(key) {
    const name = CONFIDENCES[key];
    const at = ['targets', 'confidence'];
    // A bare number in a document is a fraction.
    const field = { key, label: 'at least', unit: '%', bare: '' };
    return h('div', { class: 'range confidence', role: 'group', 'aria-label': `Confidence of the ${name}` },
      h('span', { class: 'of', 'aria-hidden': 'true' }, 'Chance of meeting it'),
      this.#amount(at, field, `Chance of ${name} meeting its target, at least`),
      h('p', { class: 'hint' }, `The plan aims the ${name} inside its range accordingly; 50 to 99 %, or empty.`),
    );
  }

  /**
   * @param {Path} path
   * @param {unknown} chosen
   */
  #reagent(path, chosen) {
    return this.#choice(path, 'Reagent', this.#names.reagents.map(({ key, name }) => ({ key, label: name })), chosen, 'Choose a reagent');
  }

  /**
   * A drop-down list; the form is rebuilt after each choice.
   *
   * @param {Path} path
   * @param {string} label
   * @param {readonly { key: string, label: string }[]} options
   * @param {unknown} chosen
   * @param {string} prompt Shown as long as nothing is chosen.
   * @param {(key: string) => void} [take] Called with the choice, in place of setting the value.
   */
  #choice(path, label, options, chosen, prompt, take = (key) => set(this.#day, path, key)) {
    const known = options.some(({ key }) => key === chosen);
    const select = h('select', {},
      !known && h('option', { value: String(chosen ?? ''), selected: true }, String(chosen || prompt)),
      ...options.map((option) => h('option', { value: option.key, selected: option.key === chosen }, option.label)),
    );
    select.addEventListener('change', () => {
      take(select.value);
      this.#rebuilt();
    });
    return this.#labelled(path, label, select);
  }

  /**
   * Where a reagent may go: the vessels ticked, and those that the engine accepts.
   *
   * @param {Path} at
   * @param {string} name
   */
  #places(at, name) {
    const path = [...at, 'vessels'];
    const value = get(this.#day, path);
    const chosen = new Set(Array.isArray(value) ? value : []);
    const day = { hasTank: 'hot_liquor_tank' in this.#day, hasSparge: 'sparge' in this.#day, brews: ratio(this.#day.brews) ?? 1 };
    const { reagents, vessels } = this.#names;
    const reagent = reagents.find(({ key }) => key === get(this.#day, [...at, 'reagent']));
    const offered = vessels.filter(({ key }) => chosen.has(key) || mayGo(key, reagent, day));
    const boxes = offered.map(({ key, name: label }) => {
      const box = h('input', { type: 'checkbox', id: `${pathText(path)}-${key}`, checked: chosen.has(key) });
      box.addEventListener('change', () => {
        if (box.checked) chosen.add(key);
        else chosen.delete(key);
        const places = vessels.map((vessel) => vessel.key).filter((vessel) => chosen.has(vessel));
        this.#set(path, places.length > 0 ? places : undefined);
      });
      return h('label', { class: 'check' }, box, label);
    });
    return h('div', { role: 'group', 'aria-label': `Where ${name} may go` },
      h('p', { class: 'hint' }, 'Where it may go; if none is ticked, the usual vessels.'), ...boxes);
  }

  /**
   * An optional part of the day.
   *
   * @param {string} key
   * @param {string} label
   * @param {readonly Field[]} fields
   */
  #optional(key, label, fields) {
    const present = key in this.#day;
    const box = h('input', { type: 'checkbox', id: `with-${key}`, checked: present });
    box.addEventListener('change', () => {
      if (!box.checked) this.#setAside.set(key, this.#day[key]);
      set(this.#day, [key], box.checked ? this.#setAside.get(key) ?? {} : undefined);
      this.#rebuilt();
    });
    return h('div', { class: 'optional' },
      h('label', { class: 'check' }, box, label),
      present && h('div', { class: 'fields' }, ...fields.map((field) => this.#amount([key], field))),
    );
  }

  /**
   * @param {Path} at
   * @param {string} summary
   * @param {readonly Field[]} fields
   */
  #more(at, summary, fields) {
    const part = get(this.#day, at);
    const used = typeof part === 'object' && part !== null && fields.some(({ key }) => key in part);
    const controls = h('div', { class: 'fields' }, ...fields.map((field) => this.#amount(at, field)));
    return this.#details(pathText(at), summary, [controls], used);
  }

  /**
   * @param {string} key
   * @param {string | Node} summary
   * @param {Node[]} content
   * @param {boolean} used
   */
  #details(key, summary, content, used) {
    const details = h('details', { open: used || this.#open.has(key) }, h('summary', {}, summary), ...content);
    details.addEventListener('toggle', () => (details.open ? this.#open.add(key) : this.#open.delete(key)));
    return details;
  }

  /**
   * @param {Path} list
   * @param {string} label
   * @param {Part} empty
   * @param {string} first The field that gets the focus.
   */
  #add(list, label, empty, first) {
    return h('button', {
      type: 'button', class: 'quiet', id: `add-${pathText(list)}`, click: () => {
        const all = this.#list(list);
        all.push({ ...empty });
        this.#rebuilt();
        this.#bound.get(pathText([...list, all.length - 1, first]))?.control.focus();
      },
    }, label);
  }

  /**
   * @param {Path} list
   * @param {number} i
   * @param {string} what
   * @param {string} name
   */
  #remove(list, i, what, name) {
    const id = `remove-${pathText([...list, i])}`;
    return h('button', {
      type: 'button', class: 'quiet remove', id, click: () => {
        this.#list(list).splice(i, 1);
        this.#rebuilt();
        document.getElementById(`add-${pathText(list)}`)?.focus();
      },
    }, 'Remove', h('span', { class: 'unseen', id: `${id}-name` }, ` ${name || what}`));
  }

  /** @param {Path} path */
  #list(path) {
    const list = get(this.#day, path);
    if (!Array.isArray(list)) throw new TypeError(`${pathText(path)} is no list`);
    return list;
  }

  /**
   * @param {Path} path
   * @param {unknown} value
   */
  #set(path, value) {
    set(this.#day, path, value);
    // An emptied range, report or set of measurements is removed.
    const least = path[0] === 'targets' ? 2 : path[0] === 'sources' ? 3 : Infinity;
    for (let around = path.slice(0, -1); around.length >= least; around = around.slice(0, -1)) {
      const part = get(this.#day, around);
      if (isPart(part) && Object.keys(part).length === 0) set(this.#day, around, undefined);
    }
    this.#changed();
    const key = path.at(-1);
    const said = document.getElementById(`remove-${pathText(path.slice(0, -1))}-name`);
    if (said && (key === 'malt' || key === 'name')) said.textContent = ` ${String(value ?? 'this')}`;
  }
}
