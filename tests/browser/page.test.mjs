// The page in a real browser: its plans, and its remarks on a water.

import assert from 'node:assert/strict';
import { describe, test } from 'node:test';

import {
  control, dayInAddress, inspect, open, openLink, page, SCHEMES, ready, showWater, walk,
  WIDTHS, write,
} from './visit.mjs';
import { picture } from './workshop.mjs';

/** A water whose cations and anions differ a little, and measurements of it. */
const NINEFOLD_MAINS = {
  name: 'mains', calcium: '92 mg/L', magnesium: '9 mg/L', sodium: '24 mg/L', potassium: '2.5 mg/L', chloride: '41 mg/L',
  sulfate: '56 mg/L', nitrate: '18 mg/L', alkalinity: '215 mg/L as CaCO3', ph: 7.4,
};
const BENCH = {
  temperature: '11 °C', alkalinity_titration: { sample: '100 mL', acid: '0.02 mol/L', used: '19.1 mL' },
  hardness_drops: { drops: 14, per_drop: '1 °dH' }, conductivity: '520 µS/cm', ph: 7.6,
};

/** The values of today's water, and one of them. */
const figures = { count: () => page.locator('.figures > li').count() };
const figure = (label) => page.locator('.figures > li').filter({ has: page.getByText(label, { exact: true }) });

/** The numbers in a text. */
const numbers = (text) => text.match(/\d+(\.\d+)?/g).map(Number);

/** The plan as shown: what to weigh, and what the meters should read. */
async function shown() {
  return [await page.locator('#to-weigh').innerText(), await page.locator('#to-read').innerText()];
}

/** A contribution to the variance of the mash pH, per cent. */
async function contributionOf(source) {
  const [, share] = await page.locator('tr').filter({ hasText: source }).locator('td').allInnerTexts();
  return numbers(share)[0];
}

describe('the page', () => {
  test('plans the first example as it opens', async () => {
    assert.match(await page.locator('#to-weigh').innerText(), /into the hot-liquor tank/i);
    assert.ok((await page.locator('.additions > li').count()) > 0);
    assert.ok((await page.locator('.targets > li').count()) > 0);
    assert.match(await page.locator('#to-read').innerText(), /Mash pH\s+\d\.\d/);
    assert.equal(await page.locator('svg.curve').count(), 1);
  });

  test('plans again when calcium changes', async () => {
    const before = await page.locator('#to-weigh').innerText();
    await write('sources[0].calcium', '60');
    assert.notEqual(await page.locator('#to-weigh').innerText(), before);
    assert.equal(dayInAddress().sources[0].calcium, '60 mg/L');
  });

  test('shows a problem beside its field, and removes it once it is fixed', async () => {
    await write('sources[0].calcium', 'plenty', 'invalid');
    assert.equal(await control('sources[0].calcium').getAttribute('aria-invalid'), 'true');
    const described = await control('sources[0].calcium').getAttribute('aria-describedby');
    assert.ok(described.split(' ').includes('sources[0].calcium-mistakes'));
    assert.match(await control('sources[0].calcium-mistakes').innerText(), /Expected/);
    assert.equal(await page.locator('.additions').count(), 0, 'no plan is shown beside a problem');
    await page.locator('.problems a').first().click();
    assert.equal(await page.evaluate(() => document.activeElement?.id), 'sources[0].calcium');
    await write('sources[0].calcium', '112');
    assert.equal(await control('sources[0].calcium').getAttribute('aria-invalid'), null);
    assert.equal(await control('sources[0].calcium-mistakes').innerText(), '');
  });

  test('adds a malt and removes it again', async () => {
    const before = dayInAddress().grist.length;
    await page.getByRole('button', { name: 'Add a malt' }).click();
    assert.equal(await page.evaluate(() => document.activeElement?.id), `grist[${before}].malt`);
    await ready('invalid');
    await write(`grist[${before}].malt`, 'amber malt', 'invalid');
    await write(`grist[${before}].mass`, '4.5');
    assert.deepEqual(dayInAddress().grist[before], { malt: 'amber malt', mass: '4.5 kg' });
    await page.getByRole('button', { name: 'Remove amber malt' }).click();
    await ready('planned');
    assert.equal(dayInAddress().grist.length, before);
    assert.equal(await page.evaluate(() => document.activeElement?.id), 'add-grist');
  });

  test('leaves the hot-liquor tank out and restores it as it was', async () => {
    const box = page.getByLabel('I have a hot-liquor tank');
    const before = dayInAddress().hot_liquor_tank;
    await box.uncheck();
    await ready('planned');
    assert.equal('hot_liquor_tank' in dayInAddress(), false);
    assert.doesNotMatch(await page.locator('#to-weigh').innerText(), /into the hot-liquor tank/i);
    await box.check();
    await ready('planned');
    assert.deepEqual(dayInAddress().hot_liquor_tank, before);
  });

  test('moves a unit typed with the number beside the field', async () => {
    await control('sources[0].alkalinity').fill('14 °dH');
    await control('sources[0].alkalinity').blur();
    assert.equal(await control('sources[0].alkalinity').inputValue(), '14');
    assert.equal(await control('sources[0].alkalinity-unit').innerText(), '°dH');
    await ready('planned');
    assert.equal(dayInAddress().sources[0].alkalinity, '14 °dH');
  });

  test('fills the targets of a family of beer, which stay editable', async () => {
    await write('targets.sparge_ph.low', '5.4');
    await page.getByLabel('Targets for', { exact: true }).selectOption('mild');
    await ready('planned');
    assert.equal(await control('targets.chloride.low').inputValue(), '80');
    assert.equal(await control('targets.sulfate.low').inputValue(), '');
    assert.equal(await control('targets.sulfate.high').inputValue(), '100');
    assert.deepEqual(dayInAddress().targets.sulfate_to_chloride, { high: 0.8 });
    assert.equal(dayInAddress().targets.sparge_ph.low, 5.4, 'no family has a sparge pH');
    await page.getByText('Why these ranges').click();
    const why = await page.locator('details', { has: page.getByText('Why these ranges') }).innerText();
    assert.match(why, /Chloride: 80-200 mg\/L\. Chloride carries a full body[^]*Briggs/);

    await write('targets.chloride.low', '90');
    assert.deepEqual(dayInAddress().targets.chloride, { low: '90 mg/L', high: '200 mg/L' });
    await page.getByLabel('Targets for', { exact: true }).selectOption('pale lager');
    await ready('planned');
    assert.deepEqual(dayInAddress().targets.chloride, { low: '20 mg/L', high: '100 mg/L' });
    assert.equal(dayInAddress().targets.sulfate_to_chloride, undefined);
  });

  test('keeps keys of a shared day that it has no field for, and says so when a link cannot be read', async () => {
    const day = { ...dayInAddress(), name: 'From a link' };
    day.targets.calcium = { low: '100 mg/L', high: '200 mg/L', prefer: '150 mg/L' };
    day.targets.weights = { calcium: 2 };
    await open(undefined, `#day=${Buffer.from(JSON.stringify(day)).toString('base64url')}`);
    assert.equal(await control('name').inputValue(), 'From a link');
    await write('targets.calcium.high', '180');
    assert.deepEqual(dayInAddress().targets.calcium, { low: '100 mg/L', high: '180 mg/L', prefer: '150 mg/L' });
    assert.deepEqual(dayInAddress().targets.weights, { calcium: 2 });
    await open(undefined, '#day=unreadable');
    assert.match(await page.locator('#verdict').innerText(), /could not be read/);
  });

  test('loads each example, and Back returns to the one before', async () => {
    const first = dayInAddress().name;
    const options = await page.locator('#example option').allInnerTexts();
    assert.equal(options.length, 3);
    for (const name of options.slice(1)) {
      await page.locator('#example').selectOption({ label: name });
      await page.getByRole('button', { name: 'Load example' }).click();
      await ready('planned');
      assert.equal(await control('name').inputValue(), name);
    }
    await page.goBack();
    await page.goBack();
    assert.equal(await control('name').inputValue(), first);
  });

  test('shows a nitrate above its limit beside the nitrate', async () => {
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

  test('keeps in the address what only the report states, and the plan uses it', async () => {
    const [weights, forecast] = await shown();
    await page.getByText('More of the report').click();
    await write('sources[0].report.hardness', '2 °dH');
    await write('sources[0].report.conductivity', '90');
    await write('sources[0].report.sampled', '2001-02-03');
    assert.deepEqual(dayInAddress().sources[0].report, { hardness: '2 °dH', conductivity: '90 µS/cm', sampled: '2001-02-03' });
    assert.notEqual((await shown())[1], forecast);

    await openLink();
    assert.equal(await control('sources[0].report.hardness').inputValue(), '2');
    assert.equal(await control('sources[0].report.hardness-unit').innerText(), '°dH');
    assert.equal(await control('sources[0].report.sampled').inputValue(), '2001-02-03');
    const hardness = control('sources[0].report.hardness-remarks').locator('.remark');
    assert.match(await hardness.innerText(), /^Doubt: The hardness of 2 °dH does not agree with calcium/);
    const described = await control('sources[0].calcium').getAttribute('aria-describedby');
    assert.ok(described.split(' ').includes(await hardness.getAttribute('id')), 'the remark describes the calcium too');
    assert.match(await control('sources[0].report.conductivity-remarks').innerText(), /^Doubt: A conductivity of 90 µS\/cm does not agree/);
    assert.match(await control('sources[0].report.sampled-remarks').innerText(), /^Doubt: The sample is \d+ days old/);
    assert.match(await control('sources[0].report.conductivity-remarks').innerText(), /Disagrees: read 90 µS\/cm, expected \d+/);
    assert.equal(await control('sources-0-more').innerText(), ', 4 remarks');

    await control('sources[0].report.hardness').fill('');
    await control('sources[0].report.conductivity').fill('');
    await write('sources[0].report.sampled', '');
    assert.equal('report' in dayInAddress().sources[0], false);
    assert.deepEqual(await shown(), [weights, forecast], 'an emptied field is no longer used');
  });

  test('takes a range and a detection limit, and shows what the plan uses instead', async () => {
    assert.equal(await figures.count(), 0, 'a report of plain figures is used as written');
    await write('sources[0].magnesium', '8-12');
    await write('sources[0].nitrate', '<5 mg/L');
    const { magnesium, nitrate } = dayInAddress().sources[0];
    assert.deepEqual({ magnesium, nitrate }, { magnesium: '8-12 mg/L', nitrate: '<5 mg/L' });
    const [value, low, high] = numbers(await figure('magnesium').locator('.best').innerText());
    assert.ok(low < value && value < high && low > 6 && high < 14, `${low} to ${high} about ${value}`);
    assert.match(await figure('magnesium').innerText(), /report 8 to 12 mg\/L/);
    assert.match(await figure('nitrate').innerText(), /report <5 mg\/L/);
    // The wider the range, the less certain today's water.
    await write('sources[0].magnesium', '4-16');
    const [, lower, higher] = numbers(await figure('magnesium').locator('.best').innerText());
    assert.ok(lower < low && higher > high);
  });

  test('uses today’s measurements: the alkalinity becomes more certain', async () => {
    await page.getByText('Today’s measurements').click();
    const before = await contributionOf('the alkalinity of the water');
    const range = /Eight mashes in ten should be between [\d.]+ and [\d.]+/;
    const [wide] = range.exec(await page.locator('#to-read').innerText());
    await write('sources[0].bench.alkalinity', '252');
    await write('sources[0].bench.temperature', '11');
    assert.deepEqual(dayInAddress().sources[0].bench, { alkalinity: '252 mg/L as CaCO3', temperature: '11 °C' });
    assert.ok(await contributionOf('the alkalinity of the water') < before);
    const [narrow] = range.exec(await page.locator('#to-read').innerText());
    assert.notEqual(narrow, wide);
    const [value, low, high] = numbers((await figure('alkalinity').locator('.best').innerText()).replace('CaCO3', ''));
    assert.ok(low < value && value < high && Math.abs(value - 252) < 10);
    assert.match(await figure('alkalinity').innerText(), /report 252 mg\/L as CaCO3, measured 252 mg\/L as CaCO3/);
    assert.match(await page.locator('.figures').locator('xpath=..').innerText(), /pH at 11 °C/);
    await control('sources[0].bench.alkalinity').fill('');
    await write('sources[0].bench.temperature', '');
    assert.equal('bench' in dayInAddress().sources[0], false);
    assert.equal(await figures.count(), 0);
  });

  test('computes an alkalinity from its titration, and says what is missing', async () => {
    await page.getByText('Today’s measurements').click();
    await page.getByText('From a titration or a drop kit').click();
    await write('sources[0].bench.alkalinity_titration.sample', '100');
    const used = 'sources[0].bench.alkalinity_titration.used';
    assert.match(await control(`${used}-mistakes`).innerText(), /Expected/);
    assert.ok((await page.locator('.additions > li').count()) > 0, 'the plan does without it');
    assert.doesNotMatch(await control('sources-0-counts').innerText(), /Fix the entries/, 'the report is checked all the same');
    await write('sources[0].bench.alkalinity_titration.acid', '0.02');
    await write(used, '25.2');
    assert.equal(await control(`${used}-mistakes`).innerText(), '');
    // Standard Methods 2320 B: mL of acid x normality x 50 000 / mL of sample = 252 mg/L as CaCO3.
    assert.match(await figure('alkalinity').innerText(), /measured 252 mg\/L as CaCO3 \(sd \d/);
    await write('sources[0].bench.alkalinity', '250');
    assert.match(await control('sources[0].bench.alkalinity_titration.sample-mistakes').innerText(), /Keep the more reliable one/);
    assert.equal(await page.locator('#weigh .problems').count(), 0);
  });

  test('shows the worst disagreement beside its field', async () => {
    await showWater({
      ...NINEFOLD_MAINS, bench: { conductivity: '520 µS/cm', free_chlorine: '0.2 mg/L', alkalinity: '191 mg/L as CaCO3', ph: 7.6 },
    });
    const beside = control('sources[0].bench.conductivity-remarks');
    assert.match(await beside.innerText(), /^Disagrees: read 520 µS\/cm, expected \d+\. Check it again\./);
    const described = await control('sources[0].bench.conductivity').getAttribute('aria-describedby');
    assert.ok(described.split(' ').includes('sources[0].bench.conductivity-remarks'));
    assert.match(await control('sources-0-agreement').innerText(), /^The measurements disagree .*conductivity at the bench/);
    assert.match(await control('sources-0-today').innerText(), /If just one of them is wrong: conductivity at the bench \d+ %, /);
    assert.match(await control('sources[0].bench.free_chlorine-remarks').innerText(), /^Note: There is chlorine/);
    assert.equal(await control('sources-0-bench').innerText(), ', 2 remarks');
    assert.match(await page.locator('.cautions').innerText(), /"mains": The measurements disagree/);

    await showWater({
      ...NINEFOLD_MAINS, bench: { alkalinity_titration: { sample: '100 mL', acid: '0.02 mol/L', used: '8 mL' }, conductivity: '645 µS/cm' },
    });
    assert.match(await control('sources-0-agreement').innerText(), /alkalinity at the bench/);
    assert.match(await control('sources[0].bench.alkalinity_titration.sample-remarks').innerText(), /^Disagrees: read 80\.1 mg\/L as CaCO3/);

    await showWater({ ...NINEFOLD_MAINS, bench: { alkalinity: '215 mg/L as CaCO3' } });
    assert.match(await control('sources-0-agreement').innerText(), /^The measurements agree/);
    assert.equal(await page.getByText('Disagrees:').count(), 0);
  });

  test('asks about a mistaken basis with its evidence, and changes nothing', async () => {
    // Sulfate of 240 mg/L stated as sulfur: 240 x 32.06 / 96.06 = 80 mg/L.
    const source = {
      name: 'mains', calcium: '120 mg/L', magnesium: '20 mg/L', sodium: '38 mg/L', chloride: '50 mg/L', sulfate: '80 mg/L',
      alkalinity: '150 mg/L as CaCO3',
    };
    await showWater(source);
    const look = control('sources-0-look');
    assert.match(await look.innerText(), /Worth asking/);
    const first = await page.locator('.questions li').first().innerText();
    assert.match(first, /^Sulfate as S, read as SO4\? Then sulfate 240 mg\/L instead of 80/);
    assert.match(first, /Evidence: ion balance, 2500 times likelier; usual compositions, 1\.5 times less likely\./);
    for (const text of await page.locator('.questions li').allInnerTexts()) {
      const [, odds] = /Odds ([\d.]+) to 1 against the report/.exec(text);
      assert.ok(Number(odds) > 1, text);
    }
    assert.match(await control('sources-0-counts').innerText(), /\d worth asking about/);
    assert.deepEqual(dayInAddress().sources[0], source);
    assert.equal(await control('sources[0].sulfate').inputValue(), '80');
    await write('sources[0].sulfate', '80 mg/L as S');
    assert.equal(await page.locator('.questions').count(), 0);
  });

  test('shares the measurements with the link', async () => {
    const report = { sampled: '2025-06-02', hardness: '14.9 °dH' };
    await showWater({ ...NINEFOLD_MAINS, report, bench: BENCH });
    const [weights, forecast] = await shown();
    const water = await control('sources-0-today').innerText();
    assert.match(water, /measured 241 mg\/L as CaCO3 \(sd 13\)/);
    await write('sources[0].bench.conductivity', '560');
    await openLink();
    assert.deepEqual(dayInAddress().sources[0].bench, { ...BENCH, conductivity: '560 µS/cm' });
    assert.equal(await control('sources[0].bench.hardness_drops.per_drop').inputValue(), '1');
    assert.equal(await control('sources[0].bench.hardness_drops.per_drop-unit').innerText(), '°dH');
    assert.ok(await control('sources[0].bench.hardness_drops.per_drop').isVisible(), 'a part in use is open');
    assert.notEqual(await control('sources-0-today').innerText(), water);
    await write('sources[0].bench.conductivity', '520');
    assert.equal(await control('sources-0-today').innerText(), water);
    assert.deepEqual(await shown(), [weights, forecast]);
  });

  test('plans with the figures as written where no water fits report and measurements', async () => {
    const impossible = {
      name: 'mains', calcium: '600 mg/L', magnesium: '0 mg/L', potassium: '1900 mg/L', sulfate: '900 mg/L', alkalinity: '0 mg/L as CaCO3',
    };
    await showWater(impossible);
    const plain = await shown();
    await showWater({
      ...impossible, report: { conductivity: '0 µS/cm' },
      bench: { conductivity: '5400 µS/cm', alkalinity: { value: 800, unit: 'mg/L as CaCO3', sd: 0.5 } },
    });
    assert.match(await control('sources-0-agreement').innerText(), /^Today's water cannot be computed: .*The plan uses the report’s figures as written\.$/);
    assert.deepEqual(await shown(), plain);
    assert.equal(await page.locator('[aria-invalid]').count(), 0);
  });

  test('shows what the plan refuses at its field, with and without measurements', async () => {
    await showWater({ ...NINEFOLD_MAINS, report: { hardness: '14.9 °dH' }, bench: BENCH });
    await write('sources[0].sulfate', 'a lot', 'invalid');
    assert.equal(await control('sources[0].sulfate').getAttribute('aria-invalid'), 'true');
    assert.match(await page.locator('.problems').innerText(), /Sulfate \(sources\[0\]\.sulfate\)/);
    await write('sources[0].sulfate', '56');
    await write('sources[0].report.hardness', 'rather');
    await write('sources[0].bench.ph', 'sour');
    for (const path of ['sources[0].report.hardness', 'sources[0].bench.ph']) {
      assert.equal(await control(path).getAttribute('aria-invalid'), 'true');
    }
    assert.equal(await page.locator('[aria-invalid]').count(), 2);
    await write('sources[0].name', '', 'invalid');
    assert.equal(await page.locator('.problems li').count(), 1, 'only what blocks the plan');
  });

  test('says what to fix in a figure that only the report states, and plans all the same', async () => {
    await page.getByText('More of the report').click();
    await write('sources[0].report.hardness', 'rather');
    assert.equal(await control('sources[0].report.hardness').getAttribute('aria-invalid'), 'true');
    assert.match(await control('sources[0].report.hardness-mistakes').innerText(), /Expected/);
    assert.match(await control('sources-0-counts').innerText(), /^Fix the entries above/);
    assert.ok((await page.locator('.additions > li').count()) > 0);
  });

  test('opens the sheet to print, with its style', async () => {
    await page.getByRole('button', { name: 'Sheet to print' }).click();
    const frame = page.frameLocator('#sheet-frame');
    await frame.getByText('Harbour pale, 10 hL').first().waitFor();
    const sheets = await page.evaluate(() => document.querySelector('iframe').contentDocument.adoptedStyleSheets.length);
    assert.ok(sheets > 0);
    await picture(page, 'sheet');
    await page.keyboard.press('Escape');
    assert.equal(await page.locator('dialog[open]').count(), 0);
  });

  test('reaches every control with the keyboard, each visible when it has the focus', async () => {
    await walk();
  });
});

describe('the page without a part of it', () => {
  const WORDS = 'The page could not be loaded completely. Check the connection and load it again.';

  for (const part of ['underlet/wasm/underlet_bg.wasm', 'main.js', 'dom.js']) {
    test(`says that it is incomplete, and offers nothing: ${part}`, async () => {
      const broken = await page.context().browser().newPage();
      try {
        await broken.route(`**/${part}`, (route) => route.abort());
        await broken.goto(new URL('/', page.url()).href);
        await broken.waitForFunction(() => document.body.dataset.state === 'broken');
        assert.equal(await broken.locator('#to-weigh').innerText(), WORDS);
        assert.equal(await broken.locator('#verdict').innerText(), WORDS);
        assert.equal(await broken.getByText('The engine is loading').count(), 0);
        const offered = await broken.locator('a, button, input, select, summary').all();
        for (const control of offered) assert.equal(await control.isVisible(), false);
      } finally {
        await broken.close();
      }
    });
  }
});

test('a number stays on one line with its plus and minus', async () => {
  await open({ width: 1280 });
  await page.evaluate(() => {
    for (const details of document.querySelectorAll('details')) details.open = true;
  });
  const cells = page.locator('#to-read td').filter({ hasText: '±' });
  assert.ok((await cells.count()) > 5);
  for (const cell of await cells.all()) {
    const lines = await cell.evaluate((element) => {
      const range = document.createRange();
      range.selectNodeContents(element);
      return range.getClientRects().length;
    });
    assert.equal(lines, 1, await cell.innerText());
  }
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
      const bench = { ...BENCH, free_chlorine: '0.2 mg/L' };
      await showWater({ ...NINEFOLD_MAINS, sulfate: '8-12 mg/L as S', bench });
      assert.ok((await page.locator('.questions').count()) + (await figures.count()) > 10);
      await page.getByLabel('Targets for', { exact: true }).selectOption('hoppy pale ale');
      await ready('planned');
      await inspect(`${width}-${colorScheme}-today`);
      await write('sources[0].calcium', 'plenty', 'invalid');
      await write('grist[1].mass', 'a sack', 'invalid');
      await inspect(`${width}-${colorScheme}-invalid`);
    });
  }
}
