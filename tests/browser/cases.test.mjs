// The shared cases of tests/cases, which Rust and Python run too: the same problems, and the same plan byte for byte.

import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';

import { installPacked, root } from './workshop.mjs';

const folder = join(root, 'tests/cases');

/** Every case of every file; a file holds one case or a list of them. Files that a case names are not cases. */
function cases() {
  const read = readdirSync(folder).filter((name) => name.endsWith('.json')).sort()
    .flatMap((file) => [JSON.parse(readFileSync(join(folder, file), 'utf8'))].flat().map((entry) => ({ file, ...entry })));
  const named = new Set(read.map(({ expect }) => expect?.plan_file));
  return read.filter(({ file }) => !named.has(file));
}

let packed;
let underlet;
before(async () => {
  packed = installPacked();
  underlet = await packed.load();
});
after(() => packed.remove());

for (const { file, name, day, day_text: text, expect } of cases()) {
  test(`${file}: ${name}`, () => {
    const input = text ?? day;
    if (expect.problems) {
      const told = (error) => error instanceof underlet.InputError
        && assert.deepEqual(error.problems.map(({ code, path }) => ({ code, path })), expect.problems.map(({ code, path }) => ({ code, path }))) === undefined;
      assert.throws(() => underlet.plan(input), told);
    } else {
      assert.equal(underlet.planText(input), readFileSync(join(folder, expect.plan_file), 'utf8').trimEnd());
    }
  });
}
