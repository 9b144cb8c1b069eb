// The shared cases of tests/cases, which Rust and Python run too: the same problems, and the same answer byte for byte.

import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';

import { installPacked, root } from './workshop.mjs';

const folder = join(root, 'tests/cases');

/** Every case of a kind of document, with its file; those that are answered have their answer beside them. */
function casesOf(kind) {
  return [kind, `refused/${kind}`].flatMap((within) => readdirSync(join(folder, within))
    .filter((name) => !name.endsWith('.answer.json')).sort()
    .map((name) => ({ file: join(within, name), ...JSON.parse(readFileSync(join(folder, within, name), 'utf8')) })));
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

const KINDS = {
  'brew-day': (input) => underlet.planText(input),
  'water-report': (input) => reports.waterText(input),
  readings: (input) => diagnoses.checkText(input),
  'tank-day': (input) => tanks.tankText(input),
  'ion-fit': (input) => ions.fitIonsText(input),
};

for (const [kind, ask] of Object.entries(KINDS)) {
  for (const { file, name, document, text, problems, messages } of casesOf(kind)) {
    test(`${file}: ${name}`, () => {
      const input = text ?? document;
      if (!problems) {
        assert.equal(ask(input), readFileSync(join(folder, file.replace('.json', '.answer.json')), 'utf8').trimEnd());
        return;
      }
      assert.throws(() => ask(input), (error) => {
        assert.ok(error instanceof underlet.InputError);
        assert.deepEqual(error.problems.map(({ code, path }) => ({ code, path })), problems);
        assert.equal(error.message, messages.join('\n'));
        return true;
      });
    });
  }
}
