// The npm package as it would be installed, in Node.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, describe, test } from 'node:test';
import { gzipSync } from 'node:zlib';

import { installPacked, require, room, root } from './workshop.mjs';

let packed;
let underlet;
let day;
before(async () => {
  packed = installPacked();
  underlet = await packed.load();
});
after(() => packed.remove());

/** A fresh copy of the first built-in day. */
function fresh() {
  return underlet.examples()['pale-ale-10hl'];
}

/** The problems of a day that must be refused. */
function problemsOf(input) {
  try {
    underlet.plan(input);
  } catch (error) {
    assert.ok(error instanceof underlet.InputError, `not an InputError: ${error}`);
    return error;
  }
  return assert.fail('the day was taken');
}

describe('the package', () => {
  test('holds what it needs and nothing else', () => {
    assert.deepEqual(packed.files, [
      'README.md', 'brew-day.schema.json', 'check-node.js', 'check.d.ts', 'check.js', 'diagnoses.js', 'engine.js',
      'findings.js', 'fit-node.js', 'fit.d.ts', 'fit.js', 'index.d.ts', 'index.js', 'ion-fit.schema.json', 'ions.js',
      'ledgers.js', 'node.js', 'package.json', 'planning.js', 'readings.schema.json', 'reports.js',
      'sheet-node.js', 'sheet.d.ts', 'sheet.js', 'sheets.js',
      'tank-day.schema.json', 'tank-node.js', 'tank.d.ts', 'tank.js', 'texts.js', 'types.d.ts', 'wasm/check.d.ts',
      'wasm/check.js', 'wasm/check_bg.wasm', 'wasm/fit.d.ts', 'wasm/fit.js', 'wasm/fit_bg.wasm', 'wasm/planning.d.ts',
      'wasm/planning.js', 'wasm/planning_bg.wasm', 'wasm/sheet.d.ts', 'wasm/sheet.js', 'wasm/sheet_bg.wasm', 'wasm/tank.d.ts', 'wasm/tank.js', 'wasm/tank_bg.wasm',
      'wasm/water.d.ts', 'wasm/water.js', 'wasm/water_bg.wasm', 'water-node.js', 'water-report.schema.json',
      'water.d.ts', 'water.js',
    ]);
  });

  test('has the version of the workspace', () => {
    const workspace = /^version = "(.*)"$/m.exec(readFileSync(join(root, 'Cargo.toml'), 'utf8'))[1];
    assert.equal(underlet.version(), workspace);
    assert.equal(JSON.parse(readFileSync(join(packed.installed, 'package.json'), 'utf8')).version, workspace);
  });

  for (const library of ['planning', 'water', 'check', 'tank', 'fit', 'sheet']) {
    test(`keeps the wasm file of ${library} under 200 kB gzipped`, () => {
      const bytes = gzipSync(readFileSync(join(packed.installed, `wasm/${library}_bg.wasm`)), { level: 9 }).length;
      assert.ok(bytes < 200_000, `${bytes} bytes`);
    });
  }

  test('has one InputError for all libraries, and no call in two', async () => {
    const others = await Promise.all([packed.loadWater(), packed.loadCheck(), packed.loadTank(), packed.loadFit(), packed.loadSheet()]);
    const libraries = [underlet, ...others];
    for (const one of libraries) assert.equal(one.InputError, underlet.InputError);
    const names = libraries.flatMap(Object.keys).filter((name) => !['InputError', 'init'].includes(name));
    assert.equal(new Set(names).size, names.length);
    const [reports, diagnoses, , ions] = others;
    assert.throws(() => ions.fitIons({ underlet: 1, volume: 'much' }), underlet.InputError);
    assert.throws(() => reports.water({ underlet: 1, name: 'well', calcium: 'plenty' }), underlet.InputError);
    assert.throws(() => diagnoses.check({ underlet: 1, brew_day: fresh(), readings: [] }), underlet.InputError);
  });

  test('works a day of the tank through, and hands its liquor to a brew day and its heel to the next day', async () => {
    const { InputError, tank, tankFindingCodes, tankText } = await packed.loadTank();
    assert.equal(InputError, underlet.InputError);
    const monday = JSON.parse(readFileSync(join(root, 'tests/cases/tank-day/night-acid-first.json'), 'utf8')).document;
    const ledger = tank(monday);
    assert.deepEqual(ledger, JSON.parse(tankText(monday)));
    const { drawn } = ledger.lines.find(({ label }) => label === 'strike');
    const plan = underlet.plan({ ...fresh(), sources: [{ name: 'strike', liquor: drawn.liquor }] });
    assert.ok(plan.mash.ph > 5 && plan.mash.ph < 6);
    const tuesday = tank({ ...monday, heel: ledger.heel, lines: [{ work: 'fill', supply: 'well', volume: '500 L' }] });
    assert.ok(tuesday.lines[0].water_kg > 499 + ledger.heel.water_kg);
    const codes = tankFindingCodes();
    for (const { code } of tank(JSON.parse(readFileSync(join(root, 'tests/cases/tank-day/night.json'), 'utf8')).document).findings) {
      assert.ok(codes[code], code);
    }
    assert.throws(() => tank({ ...monday, lines: [{ work: 'hold', hours: 1 }] }), ({ problems: [{ code, path }] }) => {
      assert.deepEqual([code, path], ['dry', 'lines[0]']);
      return true;
    });
  });

  test('runs the example of its README', () => {
    const [, code] = /```js\n([^]*?)```/.exec(readFileSync(join(packed.installed, 'README.md'), 'utf8'));
    const printed = execFileSync('node', ['--input-type=module', '--eval', code], {
      cwd: join(packed.installed, '../..'), encoding: 'utf8',
    });
    assert.match(printed, /into the hot-liquor tank/);
    assert.match(printed, /^mash pH \d\.\d/m);
  });

  test('keeps registry hosts out of its lock file', () => {
    const lock = readFileSync(join(room, 'package-lock.json'), 'utf8');
    assert.doesNotMatch(lock, /"resolved"/);
  });
});

describe('planning', () => {
  test('plans every built-in day, from the object and from its text alike', () => {
    const days = Object.entries(underlet.examples());
    assert.deepEqual(days.map(([key]) => key), ['pale-ale-10hl', 'dark-mild-2.5hl', 'pale-lager-ro']);
    for (const [key, example] of days) {
      const plan = underlet.plan(example);
      assert.equal(plan.document, 'plan', key);
      assert.equal(plan.name, example.name);
      assert.deepEqual(underlet.plan(JSON.stringify(example)), plan);
      assert.deepEqual(JSON.parse(underlet.planText(example)), plan);
      assert.equal(underlet.planText(example), underlet.planText(example), 'same input, same bytes');
    }
  });

  test('leaves the object it was given as it was', () => {
    day = fresh();
    const before = structuredClone(day);
    underlet.plan(Object.freeze(day));
    assert.deepEqual(day, before);
  });

  test('writes the sheet as a document', () => {
    const html = underlet.sheet(fresh());
    assert.match(html, /^<!doctype html>/i);
    assert.ok(html.includes('Harbour pale, 10 hL'));
  });

  test('prints a plan that was kept as it prints a fresh one', async () => {
    const { InputError, sheetOf } = await packed.loadSheet();
    assert.equal(InputError, underlet.InputError);
    for (const example of Object.values(underlet.examples())) {
      assert.equal(sheetOf(underlet.planText(example)), underlet.sheet(example));
      assert.equal(sheetOf(underlet.plan(example)), underlet.sheet(example));
    }
  });

  test('prints no other document, and nothing of half a plan', async () => {
    const { InputError, sheetOf } = await packed.loadSheet();
    const plan = underlet.plan(fresh());
    const broken = [
      [fresh(), 'missing_key', 'document'],
      [{ ...plan, document: 'water' }, 'unknown_name', 'document'],
      [{ ...plan, underlet: 2 }, 'wrong_version', 'underlet'],
      [{ ...plan, summary: undefined }, 'missing_key', 'summary'],
      [{ ...plan, targets: plan.targets.with(1, { ...plan.targets[1], state: 'fine' }) }, 'unknown_name', 'targets[1].state'],
      ['{', 'json_syntax', ''],
    ];
    for (const [document, code, path] of broken) {
      assert.throws(() => sheetOf(document), (error) => {
        assert.ok(error instanceof InputError);
        assert.deepEqual(error.problems.map((problem) => [problem.code, problem.path]), [[code, path]]);
        return true;
      });
    }
  });

  test('drops what is undefined', () => {
    assert.deepEqual(underlet.plan({ ...fresh(), hot_liquor_tank: undefined }), underlet.plan(without('hot_liquor_tank')));
  });

  function without(key) {
    const { [key]: _, ...rest } = fresh();
    return rest;
  }
});

describe('what cannot be planned', () => {
  test('is an Error with every problem, and the code of the first', () => {
    const bad = fresh();
    bad.sources[0].calcium = 'plenty';
    bad.grist[1].mass = 'a sack';
    const error = problemsOf(bad);
    assert.ok(error instanceof Error);
    assert.equal(error.name, 'InputError');
    assert.deepEqual(error.problems.map(({ code, path }) => [code, path]), [
      ['not_a_number', 'sources[0].calcium'], ['not_a_number', 'grist[1].mass'],
    ]);
    assert.equal(error.code, 'not_a_number');
    for (const problem of error.problems) {
      assert.deepEqual(Object.keys(problem).sort(), ['code', 'expected', 'mend', 'path', 'read']);
      assert.ok(problem.expected && problem.mend && error.message.includes(problem.path));
    }
  });

  for (const number of [NaN, Infinity, -Infinity]) {
    test(`names ${number}`, () => {
      const bad = fresh();
      bad.sources[0].calcium = number;
      assert.deepEqual(problemsOf(bad).problems.map(({ code, path }) => [code, path]), [['not_finite', 'sources[0].calcium']]);
    });
  }

  test('says where a value is that JSON cannot hold', () => {
    const circle = fresh();
    circle.mash.liquor = circle;
    const cases = [
      [{ ...fresh(), mash: { liquor: 560n } }, 'mash.liquor'],
      [{ ...fresh(), grist: [{ malt: () => 'pale' }] }, 'grist[0].malt'],
      [{ ...fresh(), name: Symbol('name') }, 'name'],
      [{ ...fresh(), grist: [undefined] }, 'grist[0]'],
      [circle, 'mash.liquor'],
      [undefined, ''], [12, ''], [() => 1, ''], [10n, ''],
    ];
    for (const [input, path] of cases) {
      const { code, problems } = problemsOf(input);
      assert.deepEqual([code, problems[0].path], ['wrong_type', path]);
    }
  });

  test('refuses a bottomless object without exhausting the stack', () => {
    let bottomless = {};
    for (let i = 0; i < 100_000; i += 1) bottomless = { bottomless };
    assert.equal(problemsOf(bottomless).code, 'wrong_type');
  });

  test('has codes that the list knows', () => {
    const codes = underlet.errorCodes();
    const inputs = ['', '{', '[]', 'null', '3', '"day"', {}, { sources: 1 }, '['.repeat(200_000), '\ud800', '\0', null];
    for (const input of inputs) {
      for (const { code } of problemsOf(input).problems) assert.ok(codes[code], code);
    }
  });

  test('never poisons the module: 20,000 refusals in a row, the memory stays', async () => {
    const { initSync } = await import(`file://${packed.installed}/wasm/planning.js`);
    const { memory } = initSync();
    const bad = fresh();
    bad.sources[0].calcium = 'plenty';
    const texts = [JSON.stringify(bad), '{', '[]', '{"sources":[{"calcium":"NaN"}]}', JSON.stringify({ ...fresh(), grist: [] })];
    const refuse = (times) => {
      for (let i = 0; i < times; i += 1) problemsOf(texts[i % (texts.length - 1)]);
    };
    refuse(100);
    const before = memory.buffer.byteLength;
    refuse(20_000);
    assert.equal(memory.buffer.byteLength, before);
    assert.equal(underlet.plan(fresh()).document, 'plan');
  });
});

describe('the types', () => {
  test('are those of the schemas', { timeout: 600_000 }, () => {
    execFileSync('node', [join(room, 'types.mjs'), '--check'], { stdio: 'pipe' });
  });

  test('hold for the package and the page, strictly', () => {
    execFileSync(join(room, 'node_modules/.bin/tsc'), ['--project', join(room, 'tsconfig.json')], { stdio: 'pipe' });
  });

  test('leave no `any`', () => {
    for (const name of ['index.d.ts', 'water.d.ts', 'check.d.ts', 'tank.d.ts', 'fit.d.ts', 'sheet.d.ts', 'types.d.ts']) {
      const types = readFileSync(join(packed.installed, name), 'utf8').replace(/\/\*[^]*?\*\//g, '');
      assert.doesNotMatch(types, /\bany\b/, name);
    }
  });
});

test('playwright and axe are there for the tests of the page', () => {
  assert.ok(require('playwright-core').chromium && require('axe-core').source);
});
