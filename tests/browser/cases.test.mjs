// The shared cases of tests/cases, which Rust and Python run too: the same problems, and the same answer byte for byte.

import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';

import { casesOf, installPacked } from './workshop.mjs';

let packed;
let underlet;
before(async () => {
  packed = installPacked();
  underlet = await packed.load();
});
after(() => packed.remove());

/** The function that answers each kind of document. */
const ANSWERS = {
  'brew-day': 'planText',
  'water-report': 'waterText',
  readings: 'diagnoseText',
  'tank-day': 'tankText',
  'ion-fit': 'fitIonsText',
  equilibrium: 'equilibriumText',
};

for (const [kind, answers] of Object.entries(ANSWERS)) {
  for (const { file, name, document, text, answer, problems, messages } of casesOf(kind)) {
    test(`${file}: ${name}`, () => {
      const ask = () => underlet[answers](text ?? document);
      if (answer) {
        assert.equal(ask(), answer);
        return;
      }
      assert.throws(ask, (error) => {
        assert.ok(error instanceof underlet.InputError);
        assert.deepEqual(error.problems.map(({ code, path }) => ({ code, path })), problems);
        assert.equal(error.message, messages.join('\n'));
        return true;
      });
    });
  }
}
