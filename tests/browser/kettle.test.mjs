// The page: additions to the kettle.

import assert from 'node:assert/strict';
import { join } from 'node:path';
import test from 'node:test';
import { pathToFileURL } from 'node:url';

import { control, dayInAddress, page, ready, showDay, write } from './visit.mjs';
import { caseOf, pkg } from './workshop.mjs';

/** A part of the package, in Node. */
const load = (name) => import(pathToFileURL(join(pkg, name)).href);
const { InputError, names, plan } = await load('node.js');
const { mayGo } = await load('page/fields.js');

const day = caseOf('brew-day/kettle-additions');

test('what goes into the kettle has a card of its own', async () => {
  await showDay(day);
  const card = page.locator('.vessel', { hasText: 'Into the kettle' });
  assert.match(await card.locator('h3').innerText(), /Into the kettle 1086 kg of water/);
  const given = await card.locator('.weight').allInnerTexts();
  assert.deepEqual(given, ['175 g gypsum (calcium sulfate dihydrate)', '80 mL lactic acid 80 %', '700 mg zinc sulfate heptahydrate']);
  assert.match(await page.locator('.target', { hasText: 'kettle pH' }).innerText(), /wanted 5.10 to 5.30/);
});

test('a reagent may go into the kettle, and zinc can be asked for', async () => {
  await showDay(day);
  await write('kettle.zinc', '0.3');
  assert.equal(dayInAddress().kettle.zinc, '0.3 mg/L');
  assert.match(await page.locator('.vessel', { hasText: 'Into the kettle' }).innerText(), /1\.3 g zinc sulfate/);
  const box = control('shelf[0].vessels-kettle');
  assert.equal(await box.isChecked(), true);
  await box.evaluate((element) => element.click());
  await ready('planned');
  assert.equal(dayInAddress().shelf[0].vessels, undefined);
});

test('a boil without a unit is in hours, as in the engine', async () => {
  /** The boil in the address as the engine reads it, h. */
  const boiled = () => plan(dayInAddress()).kettle.boil_hours;
  for (const [boil, unit, hours] of [[1.5, 'h', 1.5], ['1.5', 'h', 1.5], ['75 min', 'min', 1.25], [undefined, 'min', 1]]) {
    await showDay({ ...dayInAddress(), kettle: { boil } });
    assert.equal(await control('kettle.boil-unit').innerText(), unit);
    assert.equal(boiled(), hours);
    await write('kettle.boil', '2');
    assert.deepEqual(dayInAddress().kettle, { boil: `2 ${unit}` });
    assert.ok(Math.abs(boiled() - (unit === 'h' ? 2 : 2 / 60)) < 1e-12);
  }
});

/** Whether the engine accepts a reagent at a place. */
function takes(place, reagent, { hot_liquor_tank, sparge, ...rest }, { hasTank, hasSparge, brews }) {
  const vessels = { ...(hasTank && { hot_liquor_tank: { ...hot_liquor_tank, fill: '60 hL' } }), ...(hasSparge && { sparge }) };
  try {
    plan({ ...rest, ...vessels, brews, kettle: {}, targets: {}, shelf: [{ reagent, step: '1', vessels: [place] }] });
    return true;
  } catch (refused) {
    assert.ok(refused instanceof InputError, String(refused));
    assert.deepEqual([...new Set(refused.problems.map(({ path }) => path))], ['shelf[0].vessels'], JSON.stringify(refused.problems));
    return false;
  }
}

test('a reagent is offered the vessels that the engine accepts, and no other', () => {
  const { reagents, vessels } = names();
  assert.deepEqual(vessels.map(({ key }) => key), ['hot_liquor_tank', 'mash_liquor', 'mash_tun', 'sparge_liquor', 'kettle']);
  for (const reagent of reagents) {
    for (const brews of [1, 2]) for (const hasTank of [true, false]) for (const hasSparge of [true, false]) for (const { key } of vessels) {
      const given = { brews, hasTank, hasSparge };
      assert.equal(mayGo(key, reagent, given), takes(key, reagent.key, day, given), `${reagent.key} into ${key}: ${JSON.stringify(given)}`);
    }
  }
});

test('the boxes of a reagent follow it and the day, and a ticked box can be cleared', async () => {
  const shelf = day.shelf.map(({ vessels: _, ...one }) => one);
  const tank = { ...day.hot_liquor_tank, fill: '60 hL' };
  await showDay({ ...day, brews: 2, hot_liquor_tank: tank, shelf });
  const boxes = (i) => page.locator(`[id^="shelf[${i}].vessels-"]`).evaluateAll((all) => all.map(({ id }) => id.split('.vessels-')[1]));
  const offered = Object.fromEntries(await Promise.all(day.shelf.map(async ({ reagent }, i) => [reagent, await boxes(i)])));
  assert.deepEqual(offered.gypsum, ['hot_liquor_tank', 'mash_liquor', 'mash_tun', 'kettle']);
  assert.deepEqual(offered['zinc sulfate heptahydrate'], ['kettle']);
  await control('shelf[0].vessels-kettle').evaluate((box) => box.click());
  await control('shelf[0].reagent').selectOption('chalk');
  assert.deepEqual(await boxes(0), ['hot_liquor_tank', 'mash_liquor', 'mash_tun', 'kettle']);
  await control('shelf[0].vessels-kettle').evaluate((box) => box.click());
  await page.locator('#with-hot_liquor_tank').uncheck();
  assert.deepEqual(await boxes(0), ['mash_liquor', 'mash_tun', 'sparge_liquor'].filter((key) => key !== 'sparge_liquor' || 'sparge' in day));
});

test('batch, brews and portions have fields, and the plan uses them', async () => {
  const tank = { ...day.hot_liquor_tank, fill: '60 hL' };
  await showDay({ ...day, hot_liquor_tank: tank, sparge: { ...day.sparge, portions: 2 } });
  assert.equal(await control('sparge.portions').inputValue(), '2');
  await write('sparge.portions', '3');
  await write('recipe_scale', '0.5');
  await control('brews').selectOption('2');
  await ready('planned');
  const entered = dayInAddress();
  assert.deepEqual([entered.recipe_scale, entered.brews, entered.sparge.portions], [0.5, 2, 3]);
  const { additions } = plan(entered);
  assert.deepEqual(await page.locator('.additions .weight strong').allInnerTexts(), additions.map(({ display }) => display));
  await write('recipe_scale', 'half', 'invalid');
  assert.match(await control('recipe_scale-mistakes').innerText(), /Expected recipe scale/);
  await write('recipe_scale', '');
  await control('brews').selectOption('1');
  await ready('planned');
  assert.deepEqual(Object.keys(dayInAddress()).filter((key) => ['recipe_scale', 'brews'].includes(key)), []);
});
