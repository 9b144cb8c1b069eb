// What goes into the kettle, on the page.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import test from 'node:test';
import { pathToFileURL } from 'node:url';

import { control, dayInAddress, openDay, page, settled, write } from './visit.mjs';
import { pkg } from './workshop.mjs';

const { plan } = await import(pathToFileURL(join(pkg, 'node.js')).href);

const { day } = JSON.parse(readFileSync(new URL('../cases/kettle-additions.json', import.meta.url), 'utf8'));

test('what goes into the kettle has a card of its own', async () => {
  await openDay(day);
  const card = page.locator('.vessel', { hasText: 'Into the kettle' });
  assert.match(await card.locator('h3').innerText(), /Into the kettle 1086 kg of water/);
  const given = await card.locator('.weight').allInnerTexts();
  assert.deepEqual(given, ['180 g gypsum (calcium sulfate dihydrate)', '70 mL lactic acid 80 %', '700 mg zinc sulfate heptahydrate']);
  assert.match(await page.locator('.target', { hasText: 'kettle pH' }).innerText(), /wanted 5.10 to 5.30/);
});

test('a reagent may be sent into the kettle, and zinc asked for', async () => {
  await openDay(day);
  await write('kettle.zinc', '0.3');
  assert.equal(dayInAddress().kettle.zinc, '0.3 mg/L');
  assert.match(await page.locator('.vessel', { hasText: 'Into the kettle' }).innerText(), /1\.3 g zinc sulfate/);
  const box = control('shelf[0].at-kettle');
  assert.equal(await box.isChecked(), true);
  await box.evaluate((element) => element.click());
  await page.waitForTimeout(400);
  await settled('planned');
  assert.equal(dayInAddress().shelf[0].at, undefined);
});

test('a boil without a unit is in hours, as the engine takes it', async () => {
  /** What the engine takes the boil of the address for, h. */
  const boiled = () => plan(dayInAddress()).kettle.boil_hours;
  for (const [boil, unit, hours] of [[1.5, 'h', 1.5], ['1.5', 'h', 1.5], ['75 min', 'min', 1.25], [undefined, 'min', 1]]) {
    await openDay({ ...dayInAddress(), kettle: { boil } });
    assert.equal(await control('kettle.boil-unit').innerText(), unit);
    assert.equal(boiled(), hours);
    await write('kettle.boil', '2');
    assert.deepEqual(dayInAddress().kettle, { boil: `2 ${unit}` });
    assert.ok(Math.abs(boiled() - (unit === 'h' ? 2 : 2 / 60)) < 1e-12);
  }
});
