// Runs the JavaScript examples of the top README, unchanged, against the package as it would be published.

import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, test } from 'node:test';
import assert from 'node:assert/strict';

import { installPacked, root } from './workshop.mjs';

const packed = installPacked();
after(() => packed.remove());

test('the JavaScript examples of the README run', () => {
  const readme = readFileSync(join(root, 'README.md'), 'utf8');
  const blocks = [...readme.matchAll(/^```js\n([^]*?)^```/gm)].map(([, code]) => code);
  assert.ok(blocks.length > 0);
  for (const [index, code] of blocks.entries()) {
    const file = join(packed.installed, '../..', `example-${index}.mjs`);
    writeFileSync(file, code);
    const printed = execFileSync(process.execPath, [file], { encoding: 'utf8' });
    assert.match(printed, /into|hot-liquor tank|mash tun/);
    assert.match(printed, /^grist /m);
  }
});
