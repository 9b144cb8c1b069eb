// The shared cases of tests/cases, which Rust and Python run too: the same problems, and the same answer byte for byte.

import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';

import { installPacked, root } from './workshop.mjs';

const folder = join(root, 'tests/cases');

/** Every case with its file. Golden plans stand beside the cases that name them. */
function cases() {
  return readdirSync(folder).filter((name) => name.endsWith('.json') && !/\.(plan|water|diagnosis|tank|fitted)\.json$/.test(name)).sort()
    .map((file) => ({ file, ...JSON.parse(readFileSync(join(folder, file), 'utf8')) }));
}

let packed;
let underlet;
let reports;
let ions;
let diagnoses;
let tanks;
before(async () => {
  packed = installPacked();
  underlet = await packed.load();
  reports = await packed.loadWater();
  diagnoses = await packed.loadCheck();
  tanks = await packed.loadTank();
  ions = await packed.loadFit();
});
after(() => packed.remove());

for (const { file, name, day, day_text: text, report, readings, tank, fit, problems, messages, ...answers } of cases()) {
  test(`${file}: ${name}`, () => {
    const input = text ?? day ?? report ?? readings ?? tank ?? fit;
    const ask = (report && reports.waterText) ?? (readings && diagnoses.checkText)
      ?? (tank && tanks.tankText) ?? (fit && ions.fitIonsText) ?? underlet.planText;
    if (!problems) {
      const golden = answers.plan_file ?? answers.water_file ?? answers.diagnosis_file ?? answers.tank_file ?? answers.fitted_file;
      assert.equal(ask(input), readFileSync(join(folder, golden), 'utf8').trimEnd());
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
