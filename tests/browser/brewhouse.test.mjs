// The page in a real browser: what is asked of the mash, what the meters showed, and the tank.

import assert from 'node:assert/strict';
import { describe, test } from 'node:test';

import { control, dayInAddress, page, settled, write } from './visit.mjs';

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
