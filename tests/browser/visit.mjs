// The page in a real browser, for the tests of it. The tests of a file share one page: each begins
// with the first built-in day, everything collapsed, as the page opens.

import assert from 'node:assert/strict';
import { join } from 'node:path';
import { after, before, beforeEach, afterEach } from 'node:test';

import { CHROMIUM, picture, pkg, require, serve, violations } from './workshop.mjs';

const { chromium } = require('playwright-core');

export const WIDTHS = [360, 1200];
export const SCHEMES = ['light', 'dark'];

let browser;
let site;
export let page;
/** How the page was opened. */
let opened;
/** The day that the page opens with. */
let firstDay;
/** Console messages, uncaught errors, requests to any other address. */
let complaints = [];

before(async () => {
  site = await serve(join(pkg, 'page'));
  browser = await chromium.launch(CHROMIUM);
  await open();
  firstDay = dayInAddress();
});
after(async () => {
  await browser?.close();
  site?.close();
});

beforeEach(async () => {
  if (opened !== DEFAULTS) await open();
  else await showDay(firstDay);
});
afterEach(() => {
  assert.deepEqual(complaints.splice(0), []);
});

const DEFAULTS = { width: 1200, colorScheme: 'light', bypassCSP: false };

/** Loads the page in a context of its own, and waits for its first plan. */
export async function open(options = DEFAULTS, fragment = '') {
  await page?.context().close();
  opened = options;
  const { width, colorScheme, bypassCSP } = { ...DEFAULTS, ...options };
  const context = await browser.newContext({
    viewport: { width, height: 800 }, colorScheme, bypassCSP,
  });
  page = await context.newPage();
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('request', (request) => {
    if (!request.url().startsWith(site.address)) complaints.push(`asked for ${request.url()}`);
  });
  await page.goto(site.address + fragment);
  await ready('planned');
}

/** Opens the link that the address holds. */
export const openLink = () => open(opened, new URL(page.url()).hash);

/** Shows a day in the open page, everything collapsed, as the browser's Back button would. */
export async function showDay(day) {
  const coded = Buffer.from(JSON.stringify(day)).toString('base64url');
  await page.evaluate(async (fragment) => {
    document.querySelector('dialog[open]')?.close();
    document.querySelectorAll('details[open]').forEach((details) => { details.open = false; });
    // The page receives the toggle events a moment later.
    await new Promise((done) => { setTimeout(done); });
    document.activeElement?.blur();
    scrollTo(0, 0);
    history.replaceState(null, '', fragment);
    dispatchEvent(new PopStateEvent('popstate'));
  }, `#day=${coded}`);
  await ready('planned');
}

/** Shows the first built-in day with this water. */
export const showWater = (source) => showDay({ ...firstDay, sources: [source] });

/** Waits until the page has answered the last change. */
export async function ready(state) {
  await page.waitForFunction((wanted) => document.body.dataset.state === wanted, state);
}

/** The control of a path of the document. */
export const control = (path) => page.locator(`[id="${path}"]`);

/** Writes into the control of a path and waits for the answer. */
export async function write(path, text, state = 'planned') {
  await control(path).fill(text);
  await ready(state);
}

/** The day that the address holds. */
export function dayInAddress() {
  const coded = new URL(page.url()).hash.replace('#day=', '');
  return JSON.parse(Buffer.from(coded, 'base64url').toString());
}

/** Walks through the page with the Tab key: every control is reached, and visible when it has the focus. */
export async function walk() {
  const wanted = await page.evaluate(() => {
    delete window.walked;
    const all = [...document.querySelectorAll('a[href], button, input, select, summary')];
    return all.filter((element) => element.checkVisibility()).length;
  });
  const seen = new Set();
  for (let i = 0; i < wanted + 5; i += 1) {
    await page.keyboard.press('Tab');
    const here = await page.evaluate(() => {
      const element = document.activeElement;
      if (!element || element === document.body) return null;
      const { left, top, width, height } = element.getBoundingClientRect();
      const shown = document.elementFromPoint(left + width / 2, top + height / 2);
      window.walked ??= new Map();
      if (!window.walked.has(element)) window.walked.set(element, window.walked.size);
      return { key: window.walked.get(element), covered: !(element.contains(shown) || shown?.contains(element)), what: element.outerHTML.slice(0, 90) };
    });
    if (!here) continue;
    assert.equal(here.covered, false, here.what);
    seen.add(here.key);
  }
  assert.equal(seen.size, wanted);
}

/** Looks for anything wider than the window and any small target, and asks axe. */
export async function inspect(name) {
  await page.evaluate(() => document.querySelectorAll('details').forEach((details) => { details.open = true; }));
  const { scroll, client } = await page.evaluate(() => ({
    scroll: document.documentElement.scrollWidth, client: document.documentElement.clientWidth,
  }));
  assert.ok(scroll <= client, `${scroll} px of content in a window of ${client} px`);
  const small = await page.evaluate(() => [...document.querySelectorAll('button, select, summary, input[type=text], input[type=date], label.check, .verdict a')]
    .filter((element) => element.checkVisibility() && element.getBoundingClientRect().height < 44)
    .map((element) => element.outerHTML.slice(0, 90)));
  assert.deepEqual(small, []);
  assert.deepEqual(await violations(page), []);
  await page.evaluate(() => { document.querySelectorAll('details').forEach((details) => { details.open = false; }); });
  await picture(page, name, { fullPage: true });
}
