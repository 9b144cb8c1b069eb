// The sheet on paper: printed by Debian's Chromium, one page for a single brew, and readable by everybody.

import assert from 'node:assert/strict';
import { after, before, describe, test } from 'node:test';

import { caseOf, CHROMIUM, installPacked, picture, require, violations } from './workshop.mjs';

const { chromium } = require('playwright-core');

const PAPERS = ['A4', 'Letter'];
/** Paper at 96 points to the inch, without the sheet's margins of 9 and 10 mm. */
const WIDTH = { A4: 718, Letter: 740 };

const packed = installPacked();
const underlet = await packed.load();
/** Longer sheets: three vessels and the kettle with its zinc, and two brews with room for what is read in each. */
const longer = ['kettle-additions', 'double-brew']
  .map((name) => [name, caseOf(`brew-day/${name}`)]);
const days = [...Object.entries(underlet.examples()), ...longer];
let browser;
before(async () => {
  browser = await chromium.launch(CHROMIUM);
});
after(async () => {
  await browser?.close();
  packed.remove();
});

/** Opens the sheet of a day and hands it to `look`. */
async function onSheet(day, look) {
  const page = await browser.newPage();
  try {
    await page.setContent(underlet.renderSheet(underlet.plan(day)));
    await look(page);
  } finally {
    await page.close();
  }
}

/** How many pages a PDF has: its page tree says so. */
function pagesOf(pdf) {
  const counts = [...pdf.toString('latin1').matchAll(/\/Type\s*\/Pages\b[^]*?\/Count\s+(\d+)|\/Count\s+(\d+)[^]*?\/Type\s*\/Pages\b/g)];
  assert.ok(counts.length > 0, 'a PDF with a page tree');
  return Math.max(...counts.map(([, before, after]) => Number(before ?? after)));
}

for (const [key, day] of days) {
  describe(`the sheet of ${key}`, () => {
    for (const paper of PAPERS) {
      test(`is one page of ${paper}`, () => onSheet(day, async (page) => {
        const pdf = await page.pdf({ format: paper, printBackground: true });
        assert.equal(pagesOf(pdf), 1);
        // Nothing is cut off at the side.
        await page.setViewportSize({ width: WIDTH[paper], height: 1000 });
        await page.emulateMedia({ media: 'print' });
        assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth));
      }));
    }

    test('says what the plan says, and leaves room to write', () => onSheet(day, async (page) => {
      const plan = underlet.plan(day);
      const words = (await page.locator('body').innerText()).replace(/\s+/g, ' ');
      const weights = await page.locator('.additions td:nth-child(2)').allInnerTexts();
      assert.deepEqual(weights, plan.additions.map(({ display }) => display));
      const shown = await page.locator('.readings td:nth-child(n + 2):not(:empty)').allInnerTexts();
      // One more blank for each further brew, where something is read in each.
      const further = ({ place }) => (['cold_liquor', 'tank'].includes(place) ? 0 : plan.brews - 1);
      assert.deepEqual(
        shown.map((text) => text.trim()), plan.readings.map((one) => `${one.display}${' ____'.repeat(further(one))}`),
      );
      const blanks = await page.locator('.readings td:nth-child(n + 2):not(:empty)').evaluateAll(
        (cells) => cells.map((cell) => Number.parseFloat(getComputedStyle(cell, '::after').width)),
      );
      for (const width of blanks) assert.ok(width > 50, `a blank of ${width} px`);
      for (const text of [...plan.cautions.map(({ text }) => text), ...plan.additions.map(({ how }) => how)]) {
        assert.ok(words.includes(text.replace(/\s+/g, ' ')), text);
      }
    }));

    test('can be read by everybody, in grey too', () => onSheet(day, async (page) => {
      await page.setViewportSize({ width: WIDTH.A4, height: 1000 });
      await picture(page, `sheet-${key}`, { fullPage: true });
      for (const filter of ['none', 'grayscale(1)']) {
        await page.evaluate((value) => { document.documentElement.style.filter = value; }, filter);
        assert.deepEqual(await violations(page), []);
      }
      await picture(page, `sheet-${key}-grey`, { fullPage: true });
    }));
  });
}
