// The page in a real browser: Debian's Chromium, without a network beyond this machine.

import assert from 'node:assert/strict';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, beforeEach, afterEach, describe, test } from 'node:test';

import { pkg, require, serve } from './workshop.mjs';

const { chromium } = require('playwright-core');
const { source: axe } = require('axe-core');

const WIDTHS = [360, 1200];
const SCHEMES = ['light', 'dark'];
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
/** Pictures for the eye, beside the built package and ignored by git like it. */
const pictures = join(pkg, 'pictures');

let browser;
let site;
let page;
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

/** Opens the page and waits for its first plan. */
async function open({ width = 1200, colorScheme = 'light', fragment = '', bypassCSP = false } = {}) {
  await page?.context().close();
  const context = await browser.newContext({ viewport: { width, height: 800 }, colorScheme, bypassCSP });
  page = await context.newPage();
  complaints = [];
  page.on('console', (message) => ['error', 'warning'].includes(message.type()) && complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('request', (request) => {
    if (!request.url().startsWith(site.address)) complaints.push(`asked for ${request.url()}`);
  });
  await page.goto(site.address + fragment);
  await settled('planned');
}

/** Waits until the page has answered the last change. */
async function settled(state) {
  await page.waitForFunction((wanted) => document.body.dataset.state === wanted, state);
}

/** The control of a path of the document. */
const control = (path) => page.locator(`[id="${path}"]`);

/** Writes into the control of a path and waits for the answer. */
async function write(path, text, state = 'planned') {
  await control(path).fill(text);
  await page.waitForFunction(() => location.hash !== '');
  await page.waitForTimeout(400);
  await settled(state);
}

/** The day that the address holds. */
function dayInAddress() {
  const coded = new URL(page.url()).hash.replace('#day=', '');
  return JSON.parse(Buffer.from(coded, 'base64url').toString());
}

describe('the page', () => {
  test('plans the first built-in day as it opens', async () => {
    assert.match(await page.locator('#to-weigh').innerText(), /into the hot-liquor tank/i);
    assert.ok((await page.locator('.additions > li').count()) > 0);
    assert.ok((await page.locator('.targets > li').count()) > 0);
    assert.match(await page.locator('#to-read').innerText(), /Mash pH\s+\d\.\d/);
    assert.equal(await page.locator('svg.curve').count(), 1);
  });

  test('plans anew when calcium changes', async () => {
    const before = await page.locator('#to-weigh').innerText();
    await write('sources[0].calcium', '60');
    assert.notEqual(await page.locator('#to-weigh').innerText(), before);
    assert.equal(dayInAddress().sources[0].calcium, '60 mg/L');
  });

  test('shows nonsense beside its field, and forgets it once mended', async () => {
    await write('sources[0].calcium', 'plenty', 'mending');
    assert.equal(await control('sources[0].calcium').getAttribute('aria-invalid'), 'true');
    const described = await control('sources[0].calcium').getAttribute('aria-describedby');
    assert.ok(described.split(' ').includes('sources[0].calcium-mistakes'));
    assert.match(await control('sources[0].calcium-mistakes').innerText(), /Expected/);
    assert.equal(await page.locator('.additions').count(), 0, 'no plan stands beside a mistake');
    await page.locator('.problems a').first().click();
    assert.equal(await page.evaluate(() => document.activeElement?.id), 'sources[0].calcium');
    await write('sources[0].calcium', '112');
    assert.equal(await control('sources[0].calcium').getAttribute('aria-invalid'), null);
    assert.equal(await control('sources[0].calcium-mistakes').innerText(), '');
  });

  test('adds a malt and takes it away again', async () => {
    const before = dayInAddress().grist.length;
    await page.getByRole('button', { name: 'Add a malt' }).click();
    assert.equal(await page.evaluate(() => document.activeElement?.id), `grist[${before}].malt`);
    await settled('mending');
    await write(`grist[${before}].malt`, 'amber malt', 'mending');
    await write(`grist[${before}].mass`, '4.5');
    assert.deepEqual(dayInAddress().grist[before], { malt: 'amber malt', mass: '4.5 kg' });
    await page.getByRole('button', { name: 'Remove amber malt' }).click();
    await page.waitForTimeout(400);
    assert.equal(dayInAddress().grist.length, before);
    assert.equal(await page.evaluate(() => document.activeElement?.id), 'add-grist');
  });

  test('leaves the hot-liquor tank out and brings it back as it was', async () => {
    const box = page.getByLabel('I have a hot-liquor tank');
    const before = dayInAddress().hot_liquor_tank;
    await box.uncheck();
    await page.waitForTimeout(400);
    assert.equal('hot_liquor_tank' in dayInAddress(), false);
    assert.doesNotMatch(await page.locator('#to-weigh').innerText(), /into the hot-liquor tank/i);
    await box.check();
    await page.waitForTimeout(400);
    assert.deepEqual(dayInAddress().hot_liquor_tank, before);
  });

  test('moves a unit written with the number beside it', async () => {
    await control('sources[0].alkalinity').fill('14 °dH');
    await control('sources[0].alkalinity').blur();
    assert.equal(await control('sources[0].alkalinity').inputValue(), '14');
    assert.equal(await control('sources[0].alkalinity-unit').innerText(), '°dH');
    await page.waitForTimeout(400);
    assert.equal(dayInAddress().sources[0].alkalinity, '14 °dH');
  });

  test('keeps of a shared day what it has no field for, and says so when a link is spoilt', async () => {
    const day = { ...dayInAddress(), name: 'From a link' };
    day.targets.calcium = { low: '100 mg/L', high: '200 mg/L', prefer: '150 mg/L' };
    day.targets.weights = { calcium: 2 };
    await open({ fragment: `#day=${Buffer.from(JSON.stringify(day)).toString('base64url')}` });
    assert.equal(await control('name').inputValue(), 'From a link');
    await write('targets.calcium.high', '180');
    assert.deepEqual(dayInAddress().targets.calcium, { low: '100 mg/L', high: '180 mg/L', prefer: '150 mg/L' });
    assert.deepEqual(dayInAddress().targets.weights, { calcium: 2 });
    await open({ fragment: '#day=spoilt' });
    assert.match(await page.locator('#verdict').innerText(), /could not be read/);
  });

  test('takes each built-in day, and Back returns to the one before', async () => {
    const first = dayInAddress().name;
    const options = await page.locator('#example option').allInnerTexts();
    assert.equal(options.length, 3);
    for (const name of options.slice(1)) {
      await page.locator('#example').selectOption({ label: name });
      await page.getByRole('button', { name: 'Take this day' }).click();
      await settled('planned');
      assert.equal(await control('name').inputValue(), name);
    }
    await page.goBack();
    await page.goBack();
    assert.equal(await control('name').inputValue(), first);
  });

  test('tells of a nitrate above its limit beside the nitrate', async () => {
    // WHO, Guidelines for Drinking-water Quality: 50 mg/L as nitrate.
    await write('sources[0].nitrate', '62');
    const beside = control('sources[0].nitrate-remarks');
    assert.match(await beside.innerText(), /^Warning: Nitrate of 62 mg\/L is above 50 mg\/L .*Ask the supplier or the health authority\./);
    const described = await control('sources[0].nitrate').getAttribute('aria-describedby');
    assert.ok(described.split(' ').includes('sources[0].nitrate-remarks'));
    assert.match(await control('sources-0-counts').innerText(), /1 warning/);
    assert.match(await control('sources-0-look').innerText(), /no verdict on your water: ask the supplier or the health authority/);
    await write('sources[0].nitrate', '20');
    assert.equal(await beside.innerText(), '');
    assert.doesNotMatch(await control('sources-0-counts').innerText(), /warning/);
  });

  test('says whether a water balances', async () => {
    const look = control('sources-0-look');
    assert.match(await look.innerText(), /cations and anions agree/);
    const chloride = dayInAddress().sources[0].chloride;
    await write('sources[0].chloride', '400 mg/L');
    assert.match(await look.innerText(), /cations and anions do not agree/);
    assert.match(await look.locator('.remark').innerText(), /^(Doubt|Warning): Cations of [\d.]+ and anions of [\d.]+ meq\/L differ by −/);
    const said = await look.locator('.scales li').allInnerTexts();
    const [cations, anions] = said.map((text) => Number(/[\d.]+/.exec(text)[0]));
    assert.ok(anions > cations);
    const [short, long] = await look.locator('.scales rect').evaluateAll((bars) => bars.map((bar) => bar.getBoundingClientRect().width));
    assert.ok(Math.abs(short / long - cations / anions) < 0.02, 'the bars are on one scale');
    await write('sources[0].chloride', String(chloride));
    assert.match(await look.innerText(), /cations and anions agree/);
  });

  test('keeps in the address what only the report tells, and plans without it', async () => {
    const plain = await page.locator('#to-weigh').innerText();
    await page.getByText('More of the report').click();
    await write('sources[0].report.hardness', '2 °dH');
    await write('sources[0].report.conductivity', '90');
    await write('sources[0].report.sampled', '2001-02-03');
    assert.deepEqual(dayInAddress().sources[0].report, { hardness: '2 °dH', conductivity: '90 µS/cm', sampled: '2001-02-03' });
    assert.equal(await page.locator('#to-weigh').innerText(), plain);

    await open({ fragment: new URL(page.url()).hash });
    assert.equal(await control('sources[0].report.hardness').inputValue(), '2');
    assert.equal(await control('sources[0].report.hardness-unit').innerText(), '°dH');
    assert.equal(await control('sources[0].report.sampled').inputValue(), '2001-02-03');
    const hardness = control('sources[0].report.hardness-remarks').locator('.remark');
    assert.match(await hardness.innerText(), /^Doubt: The hardness of 2 °dH does not agree with calcium/);
    const described = await control('sources[0].calcium').getAttribute('aria-describedby');
    assert.ok(described.split(' ').includes(await hardness.getAttribute('id')), 'the remark describes the calcium too');
    assert.match(await control('sources[0].report.conductivity-remarks').innerText(), /^Doubt: A conductivity of 90 µS\/cm does not agree/);
    assert.match(await control('sources[0].report.sampled-remarks').innerText(), /^Doubt: The sample is \d+ days old/);
    assert.equal(await control('sources-0-more').innerText(), ', 3 remarks');

    await control('sources[0].report.hardness').fill('');
    await control('sources[0].report.conductivity').fill('');
    await write('sources[0].report.sampled', '');
    assert.equal('report' in dayInAddress().sources[0], false);
  });

  test('takes a range and a detection limit, and tells what the plan counts', async () => {
    await write('sources[0].magnesium', '8-12');
    await write('sources[0].nitrate', '<5 mg/L');
    assert.match(await control('sources[0].magnesium-remarks').innerText(), /The plan counts it as 10 mg\/L\./);
    assert.match(await control('sources[0].nitrate-remarks').innerText(), /The plan counts it as 2\.5 mg\/L\./);
    const { magnesium, nitrate } = dayInAddress().sources[0];
    assert.deepEqual({ magnesium, nitrate }, { magnesium: '8-12 mg/L', nitrate: '<5 mg/L' });
    const spread = await page.locator('#to-weigh').innerText();
    await write('sources[0].magnesium', '10');
    await write('sources[0].nitrate', '2.5');
    assert.equal(await page.locator('#to-weigh').innerText(), spread);
  });

  test('says what to mend in a figure that only the report tells, and plans all the same', async () => {
    await page.getByText('More of the report').click();
    await write('sources[0].report.hardness', 'rather');
    assert.equal(await control('sources[0].report.hardness').getAttribute('aria-invalid'), 'true');
    assert.match(await control('sources[0].report.hardness-mistakes').innerText(), /Expected/);
    assert.match(await control('sources-0-counts').innerText(), /once its entries are mended/);
    assert.ok((await page.locator('.additions > li').count()) > 0);
  });

  test('opens the sheet to print, with its style', async () => {
    await page.getByRole('button', { name: 'Sheet to print' }).click();
    const frame = page.frameLocator('#sheet-frame');
    await frame.getByText('Harbour pale, 10 hL').first().waitFor();
    const sheets = await page.evaluate(() => document.querySelector('iframe').contentDocument.adoptedStyleSheets.length);
    assert.ok(sheets > 0);
    await page.screenshot({ path: join(pictures, 'sheet.png') });
    await page.keyboard.press('Escape');
    assert.equal(await page.locator('dialog[open]').count(), 0);
  });

  test('reaches every control with the keyboard, each in sight when it has the focus', async () => {
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
  });
});

for (const width of WIDTHS) {
  for (const colorScheme of SCHEMES) {
    test(`at ${width} px, ${colorScheme}: fits, and axe finds nothing`, async () => {
      await open({ width, colorScheme, bypassCSP: true });
      await inspect(`${width}-${colorScheme}`);
      await page.getByText('More of the report').first().click();
      await write('sources[0].nitrate', '62');
      await write('sources[0].sodium', '10-40');
      await write('sources[0].report.hardness', '2 °dH');
      await write('sources[0].report.free_chlorine', '0.8');
      await inspect(`${width}-${colorScheme}-remarks`);
      await write('sources[0].calcium', 'plenty', 'mending');
      await write('grist[1].mass', 'a sack', 'mending');
      await inspect(`${width}-${colorScheme}-mending`);
    });
  }
}

/** Takes a picture, looks for anything wider than the window and any small target, and asks axe. */
async function inspect(name) {
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
