// The page in a real browser, for the tests of it: Debian's Chromium, without a network beyond this machine.

import assert from 'node:assert/strict';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, beforeEach, afterEach } from 'node:test';

import { pkg, require, serve } from './workshop.mjs';

const { chromium } = require('playwright-core');
const { source: axe } = require('axe-core');

export const WIDTHS = [360, 1200];
export const SCHEMES = ['light', 'dark'];
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
/** Pictures for the eye, beside the built package and ignored by git like it. */
export const pictures = join(pkg, 'pictures');

let browser;
let site;
export let page;
/** What went wrong unseen: messages of the console, uncaught errors, requests to anywhere else. */
let complaints;

before(async () => {
  mkdirSync(pictures, { recursive: true });
  site = await serve(join(pkg, 'page'));
  browser = await chromium.launch({
    executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
  });
});
after(async () => {
  await browser?.close();
  site?.close();
});

beforeEach(async () => {
  await open();
});
afterEach(async () => {
  await page.context().close();
  assert.deepEqual(complaints, []);
});

/** Opens the page and waits for its first plan, and for what looks at water; `onLibrary` meets the request for that. */
export async function open({ width = 1200, colorScheme = 'light', fragment = '', bypassCSP = false, onLibrary = undefined, state = 'planned' } = {}) {
  await page?.context().close();
  const context = await browser.newContext({ viewport: { width, height: 800 }, colorScheme, bypassCSP });
  page = await context.newPage();
  if (onLibrary) await page.route('**/water_bg.wasm', onLibrary);
  complaints = [];
  page.on('console', (message) => ['error', 'warning'].includes(message.type()) && complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('request', (request) => {
    if (!request.url().startsWith(site.address)) complaints.push(`asked for ${request.url()}`);
  });
  await page.goto(site.address + fragment);
  await settled(state);
  if (!onLibrary) await page.waitForFunction(() => document.body.dataset.reports === 'looked at');
}

/** Opens the page with this day. */
export async function openDay(day, more = {}) {
  await open({ ...more, fragment: `#day=${Buffer.from(JSON.stringify(day)).toString('base64url')}` });
}

/** Opens the page with the first built-in day and this water. */
export async function openWith(source, more = {}) {
  await openDay({ ...dayInAddress(), sources: [source] }, more);
}

/** Waits until the page has answered the last change. */
export async function settled(state) {
  await page.waitForFunction((wanted) => document.body.dataset.state === wanted, state);
}

/** The control of a path of the document. */
export const control = (path) => page.locator(`[id="${path}"]`);

/** Writes into the control of a path and waits for the answer. */
export async function write(path, text, state = 'planned') {
  await control(path).fill(text);
  await page.waitForFunction(() => location.hash !== '');
  await page.waitForTimeout(400);
  await settled(state);
}

/** The day that the address holds. */
export function dayInAddress() {
  const coded = new URL(page.url()).hash.replace('#day=', '');
  return JSON.parse(Buffer.from(coded, 'base64url').toString());
}

/** Forgets complaints that a test has provoked. */
export function forgive(pattern) {
  complaints = complaints.filter((text) => !pattern.test(text));
}

/** Walks through the page with the Tab key: every control is reached, and in sight when it has the focus. */
export async function walk() {
  const wanted = await page.evaluate(() => {
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

/** Takes a picture, looks for anything wider than the window and any small target, and asks axe. */
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
  await page.evaluate(axe);
  const { violations } = await page.evaluate((values) => globalThis.axe.run(document, { runOnly: { type: 'tag', values } }), RULES);
  assert.deepEqual(violations.map(({ id, nodes }) => [id, nodes.map(({ html, failureSummary }) => `${html} ${failureSummary}`)]), []);
  await page.evaluate(() => { document.querySelectorAll('details').forEach((details) => { details.open = false; }); });
  await page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
}
