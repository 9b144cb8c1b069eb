// The page: the day in the form is planned after each change, and kept in the address.

import { toMend, toRead, toWeigh } from './answers.js';
import { byId, h } from './dom.js';
import { DayForm } from './form.js';
import { toPlan } from './report.js';
import { showSheet } from './sheet.js';
import { asDay, fromFragment, toFragment } from './state.js';
import { examples, init, InputError, names, plan, sheet, version } from './underlet/index.js';
import { init as initWater } from './underlet/water.js';

/** @import { Problem } from './underlet/index.js' */
/** @import { Day } from './state.js' */

/** A pause in typing this long brings the new plan, ms. */
const PAUSE_MS = 200;

const weigh = byId('to-weigh', HTMLElement);
const read = byId('to-read', HTMLElement);
const verdict = byId('verdict', HTMLElement);
const link = byId('verdict-link', HTMLAnchorElement);

/** @param {unknown} failure */
function broken(failure) {
  verdict.textContent = 'The engine could not run.';
  weigh.replaceChildren(h('p', { class: 'summary' }, 'The engine could not run in this browser. Load the page again; if that does not help, use a newer browser.'),
    h('p', {}, String(failure)));
  read.replaceChildren();
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
  /** @type {Day} */
  let day = shared ?? firstExample;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let pause;

  const form = new DayForm(day, names(), () => {
    clearTimeout(pause);
    pause = setTimeout(work, PAUSE_MS);
  });

  function work() {
    history.replaceState(null, '', toFragment(day));
    document.body.dataset.state = answer();
  }

  /** Plans the day and shows the plan, or what must be mended first. */
  function answer() {
    /** @type {Problem[]} */
    let ofReports = [];
    try {
      const looks = form.look();
      ofReports = looks.flatMap((look) => look.problems);
      const text = JSON.stringify(toPlan(day, looks));
      const answered = plan(text);
      form.mark(ofReports);
      weigh.replaceChildren(...toWeigh(answered, () => showSheet(sheet(text))));
      read.replaceChildren(...toRead(answered));
      say(answered.summary);
      link.textContent = 'See the weights';
      return 'planned';
    } catch (refused) {
      if (!(refused instanceof InputError)) {
        broken(refused);
        return 'broken';
      }
      const { problems } = refused;
      const others = ofReports.filter(({ path }) => problems.every((problem) => problem.path !== path));
      weigh.replaceChildren(...toMend(problems, form.mark([...problems, ...others])));
      read.replaceChildren(h('p', {}, 'Nothing yet: the plan comes first.'));
      say(problems.length === 1 ? 'One entry to mend.' : `${problems.length} entries to mend.`);
      link.textContent = 'See what to mend';
      return 'mending';
    }
  }

  /** @param {Day} next */
  function take(next) {
    clearTimeout(pause);
    day = next;
    form.show(day);
    work();
  }

  const chooser = byId('example', HTMLSelectElement);
  chooser.append(...Object.entries(days).map(([value, { name }]) => h('option', { value }, name ?? value)));
  byId('start', HTMLFormElement).addEventListener('submit', (event) => {
    event.preventDefault();
    const chosen = asDay(examples()[chooser.value]);
    if (!chosen) return;
    history.pushState(null, '', toFragment(chosen));
    take(chosen);
  });
  addEventListener('popstate', () => {
    const earlier = fromFragment(location.hash);
    if (earlier) take(earlier);
  });
  byId('version', HTMLElement).textContent = `Version ${version()}`;
  take(day);
  if (shared === null) say('The link’s brew day could not be read; this is the first built-in day.');
}

Promise.all([init(), initWater()]).then(start).catch(broken);
