// The shared cases of tests/cases, which Rust and Python run too: the same problems, and the same plan byte for byte.

import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';

import { installPacked, root } from './workshop.mjs';

const folder = join(root, 'tests/cases');

/** Every case with its file. Golden plans stand beside the cases that name them. */
function cases() {
  return readdirSync(folder).filter((name) => name.endsWith('.json') && !/\.(plan|water|tank)\.json$/.test(name)).sort()
    .map((file) => ({ file, ...JSON.parse(readFileSync(join(folder, file), 'utf8')) }));
}

let packed;
let underlet;
let reports;
let tanks;
before(async () => {
  packed = installPacked();
  underlet = await packed.load();
  reports = await packed.loadWater();
  tanks = await packed.loadTank();
});
after(() => packed.remove());

for (const { file, name, day, day_text: text, report, tank, problems, messages, plan_file: planFile, water_file: waterFile, tank_file: tankFile } of cases()) {
  test(`${file}: ${name}`, () => {
    const input = text ?? day ?? report ?? tank;
    const ask = report ? reports.waterText : tank ? tanks.tankText : underlet.planText;
    if (!problems) {
      assert.equal(ask(input), readFileSync(join(folder, planFile ?? waterFile ?? tankFile), 'utf8').trimEnd());
      return;
    }
    assert.throws(() => ask(input), (error) => {
      assert.ok(error instanceof underlet.InputError);
      assert.deepEqual(error.problems.map(({ code, path }) => ({ code, path })), problems);
      if (messages) assert.equal(error.message, messages.join('\n'));
      return true;
    });
  });
}
