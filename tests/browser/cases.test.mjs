// The shared cases of tests/cases, which Rust and Python run too: the same problems, and the same answer byte for byte.

import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';

import { caseFile, cases, installPacked } from './workshop.mjs';

let packed;
let underlet;
before(async () => {
  packed = installPacked();
  underlet = await packed.load();
});
after(() => packed.remove());

/** What a case gives to the engine, by its key, and the function that takes it. */
const ASKED = {
  day: 'planText', day_text: 'planText', report: 'waterText', readings: 'checkText',
  tank: 'tankText', fit: 'fitIonsText',
};

for (const { file, name, problems, messages, ...given } of cases()) {
  test(`${file}: ${name}`, () => {
    const [key, asked] = Object.entries(ASKED).find(([one]) => one in given);
    const ask = () => underlet[asked](given[key]);
    if (!problems) {
      const [, answer] = Object.entries(given).find(([one]) => one.endsWith('_file'));
      assert.equal(ask(), caseFile(answer).trimEnd());
      return;
    }
    assert.throws(ask, (error) => {
      assert.ok(error instanceof underlet.InputError);
      assert.deepEqual(error.problems.map(({ code, path }) => ({ code, path })), problems);
      if (messages) assert.equal(error.message, messages.join('\n'));
      return true;
    });
  });
}
