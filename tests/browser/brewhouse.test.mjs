// The page in a real browser: what is asked of the mash, what the meters showed, and the tank.

import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, test } from 'node:test';
import { pathToFileURL } from 'node:url';

import { control, dayInAddress, forgive, open, openDay, page, settled, write } from './visit.mjs';
import { pkg, root } from './workshop.mjs';

const { check } = await import(pathToFileURL(join(pkg, 'check-node.js')).href);

/** The brew day of the address, as the engine takes it. */
function brewInAddress() {
  const { readings: _, ...brew } = dayInAddress();
  return brew;
}

/** What the plan says of its chance, per cent. */
async function chance() {
  const [, share] = /Chance to land in the wanted range: (\d+) %/.exec(await page.locator('#to-read').innerText());
  return Number(share);
}

describe('the confidence', () => {
  test('is asked beside the mash pH, and the plan aims inside the range', async () => {
    await write('targets.mash_ph.low', '');
    const before = await chance();
    assert.doesNotMatch(await page.locator('#to-read').innerText(), /asked/);
    await write('targets.confidence.mash_ph', '95');
    assert.deepEqual(dayInAddress().targets.confidence, { mash_ph: '95 %' });
    assert.ok((await chance()) > before && (await chance()) >= 95, `${before} % before, ${await chance()} % now`);
    assert.match(await page.locator('#to-read').innerText(), /, 95 % asked\./);
    assert.match(await page.locator('#to-weigh').innerText(), /To land in its range with 95 %, mash pH is aimed inside it/);
    await write('targets.confidence.mash_ph', '');
    assert.equal('confidence' in dayInAddress().targets, false);
    assert.equal(await chance(), before);
  });

  test('is refused at its field where no forecast can have it', async () => {
    await write('targets.confidence.mash_ph', '100', 'mending');
    assert.equal(await control('targets.confidence.mash_ph').getAttribute('aria-invalid'), 'true');
    assert.match(await control('targets.confidence.mash_ph-mistakes').innerText(), /Expected confidence/);
    await write('targets.confidence.mash_ph', '80');
    await settled('planned');
    assert.equal(await control('targets.confidence.mash_ph').getAttribute('aria-invalid'), null);
  });
});

/** Writes what a meter showed into its field, and waits for what the page says of it. */
async function read(id, text) {
  await control(id).fill(text);
  await page.waitForTimeout(400);
  await page.waitForFunction(() => !/as soon as/.test(document.getElementById('diagnosis').textContent));
}

/** What the plan expects at a field. */
async function expected(id) {
  const [, value] = /([\d.]+) ±/.exec(await control(id).locator('xpath=ancestor::li[1]').innerText());
  return Number(value);
}

/** Opens the page with the day of a case that all languages run. */
async function openCase(name, more = {}) {
  const { readings } = JSON.parse(await readFile(join(root, `tests/cases/${name}.json`), 'utf8'));
  await openDay(readings.brew_day, more);
  return readings;
}

describe('the readings', () => {
  test('of a forgotten salt are explained by it first', async () => {
    const gypsum = page.locator('.additions > li').filter({ hasText: 'gypsum' });
    const [, grams] = /(\d+) g/.exec(await gypsum.innerText());
    // What the gypsum in the 1459 kg of the tank conducts: limiting equivalent conductivities of calcium and sulfate, 59.5 and 80
    // S cm²/mol (Robinson and Stokes 1959, from memory), less a fifth for ion pairs and for the drag of other ions.
    const less = 0.8 * 1000 * (grams / 172.17 / 1459) * 2 * (59.5 + 80);
    await read('read-cold_liquor_conductivity', String(await expected('read-cold_liquor_conductivity')));
    for (const id of ['read-tank_conductivity', 'read-mash_liquor_conductivity', 'read-sparge_liquor_conductivity']) {
      await read(id, ((await expected(id)) - less).toFixed(0));
    }
    await read('read-tank_ph', String(await expected('read-tank_ph')));
    assert.match(await control('diagnosis').innerText(), /^Probably one fault: step 1, gypsum .*: forgotten/);
    const first = page.locator('.explanations li').first();
    assert.match(await first.innerText(), /^step 1, gypsum .*, hot-liquor tank: forgotten\s+(over )?\d\d %\s+See whether it still stands there/);
    assert.match(await control('read-tank_conductivity-remarks').innerText(), /^▼? ?\d+ µS\/cm below$/);
    assert.match(await control('read-tank_ph-remarks').innerText(), /as expected/);

    const told = check({ underlet: 1, brew_day: brewInAddress(), readings: dayInAddress().readings });
    assert.equal(await control('diagnosis').innerText(), told.sentence);
    assert.match(await first.innerText(), new RegExp(told.explanations[0].text.replaceAll(/[()]/g, '\\$&')));
  });

  test('as they should be are as expected, and share the link', async () => {
    await read('read-mash_ph', '5.38');
    await read('read-mash_temperature', '66.5');
    assert.equal(await control('diagnosis').innerText(), 'As expected.');
    assert.deepEqual(dayInAddress().readings, [
      { place: 'mash', meter: 'ph', value: 5.38 }, { place: 'mash', meter: 'temperature', value: '66.5 °C' },
    ]);
    await open({ fragment: new URL(page.url()).hash });
    await page.waitForFunction(() => document.getElementById('diagnosis').textContent === 'As expected.');
    assert.equal(await control('read-mash_temperature').inputValue(), '66.5');
    await read('read-mash_ph', '');
    await read('read-mash_temperature', '');
    assert.equal('readings' in dayInAddress(), false);
    assert.equal(await control('diagnosis').innerText(), '');
  });

  test('that are nonsense are refused at their field, and the plan stays', async () => {
    await read('read-mash_ph', 'sour');
    await read('read-tank_temperature', '666');
    for (const id of ['read-mash_ph', 'read-tank_temperature']) {
      assert.equal(await control(id).getAttribute('aria-invalid'), 'true');
      assert.ok((await control(id).getAttribute('aria-describedby')).split(' ').includes(`${id}-mistakes`));
    }
    assert.match(await control('read-mash_ph-mistakes').innerText(), /Expected pH from 0 to 14\. Begin with a number/);
    assert.match(await control('read-tank_temperature-mistakes').innerText(), /Expected temperature on the thermometer from -10 to 110/);
    assert.equal(await control('diagnosis').innerText(), '2 readings to mend.');
    assert.equal(await page.locator('.explanations').count(), 0);
    assert.ok((await page.locator('.additions > li').count()) > 0);
    await read('read-tank_temperature', '');
    await read('read-mash_ph', '5.4');
    assert.equal(await page.locator('[aria-invalid]').count(), 0);
    assert.equal(await control('diagnosis').innerText(), 'As expected.');
  });

  test('in ice and by a second thermometer tell a thermometer that is off', async () => {
    const { readings } = await openCase('readings-thermometer');
    await page.getByText('To doubt a probe').click();
    await read('known-temperature', '0');
    assert.match(await control('shown-temperature-mistakes').innerText(), /This half is missing/);
    await read('shown-temperature', '2.6');
    await read('read-mash_temperature', '69.5');
    await read('second-mash_temperature', '67.2');
    await read('read-sparge_liquor_temperature', '80.6');
    const told = check({ underlet: 1, brew_day: brewInAddress(), readings });
    assert.equal(await control('diagnosis').innerText(), told.sentence);
    assert.match(told.sentence, /^Probably one fault: thermometer off by \+2\.5/);
    assert.match(await control('shown-temperature-remarks').innerText(), /2\.6 °C above/);
    assert.match(await control('second-mash_temperature-remarks').innerText(), /as expected/);
  });

  test('of what the day no longer foretells are kept, and not asked about', async () => {
    await read('read-sparge_liquor_temperature', '60');
    await read('read-mash_ph', '5.4');
    assert.match(await control('diagnosis').innerText(), /thermometer|No single explanation|Not clear|Something is wrong/);
    await page.getByLabel('I sparge').uncheck();
    await page.waitForTimeout(600);
    assert.equal(await control('read-sparge_liquor_temperature').count(), 0);
    assert.equal(await control('diagnosis').innerText(), 'As expected.');
    assert.equal(dayInAddress().readings.length, 2);
  });

  test('wait for what looks at them, which is loaded with the first of them', async () => {
    let asked = 0;
    await page.route('**/check_bg.wasm', (route) => { asked += 1; return route.abort(); });
    await write('targets.calcium.low', '90');
    assert.equal(asked, 0);
    await read('read-mash_ph', '5.4');
    await page.waitForFunction(() => /could not be loaded/.test(document.getElementById('diagnosis').textContent));
    assert.equal(asked, 1);
    assert.ok((await page.locator('.additions > li').count()) > 0);
    forgive(/ERR_FAILED/);
  });
});
