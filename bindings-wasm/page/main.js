// The page: plans the day in the form after each change, and keeps it in the address.

import { toFix, toRead, toWeigh } from './answers.js';
import { byId, h } from './dom.js';
import { DayForm } from './form.js';
import { planDay } from './planned.js';
import { Meters } from './readings.js';
import { showSheet } from './sheet.js';
import { asDay, fromFragment, toFragment } from './state.js';
import { Ledger } from './tank.js';
import { examples, init, names, renderSheet, version } from './underlet/index.js';

/** @import { Day } from './state.js' */
/** @import { Plan } from './underlet/index.js' */

/** After a pause in typing this long the day is planned again, ms. */
const PAUSE_MS = 200;

const weigh = byId('to-weigh', HTMLElement);
const read = byId('to-read', HTMLElement);
const verdict = byId('verdict', HTMLElement);
const link = byId('verdict-link', HTMLAnchorElement);

/** @param {unknown} failure */
function broken(failure) {
  verdict.textContent = 'The engine could not run.';
  weigh.replaceChildren(h('p', { class: 'summary' }, 'The engine could not run in this browser. Reload the page; if that does not help, use a newer browser.'),
    h('p', {}, String(failure)));
  read.replaceChildren();
  document.body.dataset.state = 'broken';
}

/** @param {string} text */
function say(text) {
  if (verdict.textContent !== text) verdict.textContent = text;
}

function start() {
  const days = examples();
  const firstExample = asDay(Object.values(days)[0]);
  if (!firstExample) throw new Error('there is no built-in day');
  const shared = fromFragment(location.hash);
  let notice = shared === null ? 'The brew day in the link could not be read; this is the first example.' : '';
  /** @type {Day} */
  let day = shared ?? firstExample;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let pause;
  /** @type {string | undefined} The text of the plan that is shown. */
  let shown;

  const form = new DayForm(day, names(), changed, replace);
  const meters = new Meters(day, changed);
  const ledger = new Ledger(replace);

  function changed() {
    clearTimeout(pause);
    notice = '';
    document.body.dataset.state = 'waiting';
    pause = setTimeout(work, PAUSE_MS);
  }

  function work() {
    history.replaceState(null, '', toFragment(day));
    try {
      document.body.dataset.state = answer();
    } catch (failure) {
      broken(failure);
      shown = undefined;
    }
  }

  /** Plans the day and shows the plan, or what to fix first. */
  function answer() {
    const reports = form.showReports();
    const { text, plan, toFix: first } = planDay(day, reports);
    const ofReports = reports.flatMap(({ problems }) => problems).filter(({ path }) => first.every((problem) => problem.path !== path));
    const ofTank = ledger.work(day);
    const bounds = form.mark([...first, ...ofReports, ...ofTank]);
    ledger.refuse(ofTank, bounds.slice(first.length + ofReports.length));
    if (!plan) {
      shown = undefined;
      weigh.replaceChildren(...toFix(first, bounds));
      read.replaceChildren(h('p', {}, 'Nothing yet: there is no plan.'));
      say(first.length === 1 ? '1 entry to fix.' : `${first.length} entries to fix.`);
      link.textContent = 'See what to fix';
      return 'invalid';
    }
    say(notice || plan.summary);
    if (text !== shown) show(text, plan);
    meters.diagnose(text);
    return 'planned';
  }

  /**
   * @param {string} text
   * @param {Plan} plan
   */
  function show(text, plan) {
    shown = text;
    weigh.replaceChildren(...toWeigh(plan, () => showSheet(renderSheet(plan))));
    const focused = document.activeElement?.id;
    read.replaceChildren(...toRead(plan, meters.show(day, plan.readings)));
    // Someone who is entering readings stays in the same field.
    if (focused && document.activeElement?.id !== focused) document.getElementById(focused)?.focus();
    link.textContent = 'See the weights';
  }

  /** @param {Day} next */
  function open(next) {
    clearTimeout(pause);
    day = next;
    shown = undefined;
    form.show(day);
    work();
  }

  /**
   * Opens another day; the browser's Back button returns to this one.
   *
   * @param {Day} next
   * @param {string} words
   * @param {string} [focus]
   */
  function replace(next, words, focus) {
    history.replaceState(null, '', toFragment(day));
    history.pushState(null, '', toFragment(next));
    notice = words;
    open(next);
    if (focus) document.getElementById(focus)?.focus();
  }

  const chooser = byId('example', HTMLSelectElement);
  chooser.append(...Object.entries(days).map(([value, { name }]) => h('option', { value }, name ?? value)));
  byId('start', HTMLFormElement).addEventListener('submit', (event) => {
    event.preventDefault();
    const chosen = asDay(Object.values(examples())[chooser.selectedIndex]);
    if (!chosen) return;
    notice = '';
    history.pushState(null, '', toFragment(chosen));
    open(chosen);
  });
  addEventListener('popstate', () => {
    const earlier = fromFragment(location.hash);
    notice = '';
    if (earlier) open(earlier);
  });
  byId('version', HTMLElement).textContent = `Version ${version()}`;
  open(day);
  if (day.tank_day) ledger.open();
}

// If the engine's file cannot be loaded, incomplete.js says so.
const incomplete = () => { dispatchEvent(new Event('incomplete')); };
init().then(start, incomplete).catch(broken);
