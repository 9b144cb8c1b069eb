// The npm package as it would be installed: in Node, in a page, and through bundlers.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, describe, test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { runInNewContext } from 'node:vm';

import { caseOf, CHROMIUM, installPacked, require, room, root, serve } from './workshop.mjs';

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
  return assert.fail('the day was planned');
}

describe('the package', () => {
  test('holds what it needs and nothing else', () => {
    assert.deepEqual(packed.files, [
      'LICENSE-APACHE', 'LICENSE-MIT', 'README.md', 'brew-day.schema.json',
      'diagnosis.schema.json', 'engine.js', 'equilibrium-input.schema.json',
      'equilibrium.schema.json', 'fitted-ions.schema.json', 'index.d.ts', 'index.js',
      'input-error.schema.json', 'ion-fit.schema.json', 'node.js', 'package.json',
      'plan.schema.json', 'readings.schema.json', 'tank-day.schema.json',
      'tank-ledger.schema.json', 'types.d.ts', 'wasm/underlet.js', 'wasm/underlet_bg.wasm',
      'wasm/underlet_bg.wasm.d.ts', 'water-report.schema.json', 'water.schema.json',
    ]);
  });

  test('has the version of the workspace', () => {
    const workspace = /^version = "(.*)"$/m.exec(readFileSync(join(root, 'Cargo.toml'), 'utf8'))[1];
    assert.equal(underlet.version(), workspace);
    assert.equal(JSON.parse(readFileSync(join(packed.installed, 'package.json'), 'utf8')).version, workspace);
  });

  test('simulates a day of the tank, and hands its liquor to a brew day and its heel on', () => {
    const { tank, tankText } = underlet;
    const monday = caseOf('tank-day/night-acid-first');
    const ledger = tank(monday);
    assert.deepEqual(ledger, JSON.parse(tankText(monday)));
    const { drawn } = ledger.lines.find(({ label }) => label === 'strike');
    const plan = underlet.plan({ ...fresh(), sources: [{ name: 'strike', liquor: drawn.liquor }] });
    assert.ok(plan.mash.ph > 5 && plan.mash.ph < 6);
    const fill = { work: 'fill', supply: 'well', volume: '500 L' };
    const tuesday = tank({ ...monday, heel: ledger.heel, lines: [fill] });
    assert.ok(tuesday.lines[0].water_kg > 499 + ledger.heel.water_kg);
    const codes = underlet.codes().tank_finding;
    for (const { code } of tank(caseOf('tank-day/night')).findings) assert.ok(codes[code], code);
    const dry = { ...monday, lines: [{ work: 'hold', duration: 1 }] };
    assert.throws(() => tank(dry), ({ problems: [{ code, path }] }) => {
      assert.deepEqual([code, path], ['dry', 'lines[0]']);
      return true;
    });
  });

  test('refuses what it cannot read with one InputError', () => {
    const { diagnose, equilibrium, fitIons, InputError, renderSheet, tank, water } = underlet;
    for (const ask of [diagnose, equilibrium, fitIons, renderSheet, tank, underlet.plan, water]) {
      assert.throws(() => ask({ underlet: 1, barrels: 3 }), InputError, ask.name);
    }
  });

  test('checks a document by its kind, and has the schema of each', () => {
    const { codes, InputError, plan, validate } = underlet;
    const day = { ...fresh(), id: 'brew 7', 'x-own': [1, { two: null }] };
    assert.equal(validate('brew-day', day), undefined);
    const planned = plan(day);
    assert.deepEqual([planned.engine, planned.id, planned.note, planned['x-own']], [underlet.version(), 'brew 7', null, day['x-own']]);
    validate('plan', planned);
    assert.throws(() => validate('brew-day', planned), ({ problems }) => {
      const [{ code, found, expected }] = problems;
      assert.deepEqual([problems.length, code, found, expected], [1, 'wrong_document', 'a "plan" document', 'a "brew-day" document']);
      return true;
    });
    assert.throws(() => validate('barrel', day), InputError);
    for (const kind of Object.keys(codes().document)) {
      const file = readFileSync(join(packed.installed, `${kind}.schema.json`), 'utf8');
      assert.equal(JSON.parse(file).$id, `urn:underlet:schema:${kind}:1`);
    }
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

describe('targets to begin with', () => {
  test('are those of Rust, to the byte', () => {
    const kept = readFileSync(join(import.meta.dirname, '../data/targets-pale-lager.json'), 'utf8');
    assert.equal(JSON.stringify(underlet.targetsFor('pale lager')), kept);
  });

  test('go into a brew day, for every family', () => {
    for (const [name, description] of Object.entries(underlet.codes().beer_family)) {
      const begin = underlet.targetsFor(name);
      assert.equal(begin.description, description);
      underlet.validate('brew-day', { ...fresh(), targets: begin.targets });
    }
  });

  test('an unknown family is refused with the list', () => {
    assert.throws(() => underlet.targetsFor('soft drink'), (error) => {
      assert.ok(error instanceof underlet.InputError);
      assert.equal(error.problems[0].path, 'family');
      assert.match(error.problems[0].expected, /pale lager, .*sour beer/);
      return true;
    });
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
    const html = underlet.renderSheet(underlet.plan(fresh()));
    assert.match(html, /^<!doctype html>/i);
    assert.ok(html.includes('Harbour pale, 10 hL'));
  });

  test('prints a plan that was kept as it prints a fresh one', () => {
    for (const example of Object.values(underlet.examples())) {
      const kept = underlet.planText(example);
      assert.equal(underlet.renderSheet(kept), underlet.renderSheet(underlet.plan(example)));
    }
  });

  test('prints no other document, and nothing of half a plan', () => {
    const { InputError, renderSheet } = underlet;
    const plan = underlet.plan(fresh());
    const broken = [
      [fresh(), 'missing_key', 'document'],
      [{ ...plan, document: 'water' }, 'wrong_document', 'document'],
      [{ ...plan, underlet: 2 }, 'wrong_version', 'underlet'],
      [{ ...plan, summary: undefined }, 'missing_key', 'summary'],
      [{ ...plan, targets: plan.targets.with(1, { ...plan.targets[1], state: 'fine' }) }, 'unknown_name', 'targets[1].state'],
      ['{', 'json_syntax', ''],
    ];
    for (const [document, code, path] of broken) {
      assert.throws(() => renderSheet(document), (error) => {
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
      assert.deepEqual(Object.keys(problem).sort(), ['code', 'expected', 'found', 'hint', 'path']);
      assert.ok(problem.expected && problem.hint && error.message.includes(problem.path));
    }
  });

  for (const number of [NaN, Infinity, -Infinity]) {
    test(`names ${number}`, () => {
      const bad = fresh();
      bad.sources[0].calcium = number;
      assert.deepEqual(problemsOf(bad).problems, [{
        code: 'not_finite', path: 'sources[0].calcium', found: String(number),
        expected: 'a finite number', hint: 'Write a finite number, or leave the key out.',
      }]);
    });
  }

  test('names every number that is not finite, in names and lists too', () => {
    const bad = { ...fresh(), name: NaN, alternatives: Infinity };
    bad.grist[1].malt = -Infinity;
    const found = problemsOf(bad).problems.map(({ code, path }) => [code, path]);
    const paths = ['name', 'grist[1].malt', 'alternatives'];
    assert.deepEqual(found.sort(), paths.map((path) => ['not_finite', path]).sort());
  });

  test('names them to every call', () => {
    const { diagnose, equilibrium, fitIons, renderSheet, tank, water } = underlet;
    for (const ask of [diagnose, equilibrium, fitIons, renderSheet, tank, underlet.plan, water]) {
      assert.throws(() => ask({ ph: NaN }), { name: 'InputError', code: 'not_finite' }, ask.name);
    }
  });

  class Sack {}
  const classes = [
    [Promise.resolve({}), 'a Promise', 'Await it first.'],
    [new Map(), 'a Map'], [new Set(), 'a Set'], [new Sack(), 'a Sack'],
    [new Error('no'), 'an Error'],
    [new Float64Array(2), 'a Float64Array'], [Buffer.from('{}'), 'a Buffer'],
    [Object.create(Object.create({})), 'an Object'],
    [Object.create(Object.create(Object.create(null))), 'an object of a class'],
    [new (class {})(), 'an object of a class'],
  ];
  for (const [value, found, hint = 'Give a plain object.'] of classes) {
    test(`reads no entries of ${found}: ${Object.prototype.toString.call(value)}`, () => {
      const problem = (path) => ({
        code: 'wrong_type', path, found, hint,
        expected: 'text, a number, true, false, a list or a plain object',
      });
      assert.deepEqual(problemsOf(value).problems, [problem('')]);
      const inside = { ...fresh(), grist: [value] };
      assert.deepEqual(problemsOf(inside).problems, [problem('grist[0]')]);
    });
  }

  test('reads objects without a prototype, of another realm, and by their toJSON', () => {
    const plan = underlet.plan(fresh());
    assert.deepEqual(underlet.plan(Object.assign(Object.create(null), fresh())), plan);
    const foreign = runInNewContext('JSON.parse(text)', { text: JSON.stringify(fresh()) });
    assert.deepEqual(underlet.plan(foreign), plan);
    assert.deepEqual(underlet.plan({ ...fresh(), name: { toJSON: () => fresh().name } }), plan);
    const { problems: [{ path, found }] } = problemsOf({ ...fresh(), name: 5, date: new Date(0) });
    assert.deepEqual([path, found], ['name', '5']);
    assert.match(problemsOf({ ...fresh(), grits: new Date(0) }).message, /^grits: /);
  });

  test('says where half of a surrogate pair is, in values, keys and texts', () => {
    const expected = (path) => ({
      code: 'json_syntax', path, found: 'half of a surrogate pair', expected: 'Unicode text',
      hint: 'Remove it.',
    });
    const bad = fresh();
    bad.sources[0].name = 'well \ud83c';
    bad.targets['\udf7a'] = 1;
    const all = [expected('sources[0].name'), expected('targets.\ufffd')];
    assert.deepEqual(problemsOf(bad).problems, all);
    assert.deepEqual(problemsOf('{"name":"\ud800"}').problems, [expected('')]);
    const mug = { ...fresh(), name: 'Harbour \ud83c\udf7a' };
    assert.equal(underlet.plan(mug).name, mug.name);
  });

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
    assert.deepEqual(problemsOf(bottomless).problems, [{
      code: 'wrong_type', path: 'bottomless.bottomless.bottomless…',
      found: 'an object nested too deep', expected: 'at most 100 levels',
      hint: 'Give the object of a document.',
    }]);
  });

  test('has codes that the list knows', () => {
    const codes = underlet.codes().error;
    const inputs = ['', '{', '[]', 'null', '3', '"day"', {}, { sources: 1 }, '['.repeat(200_000), '\ud800', '\0', null];
    for (const input of inputs) {
      for (const { code } of problemsOf(input).problems) assert.ok(codes[code], code);
    }
  });

  test('never poisons the module: 20,000 refusals in a row, the memory stays', async () => {
    const { initSync } = await import(`file://${packed.installed}/wasm/underlet.js`);
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

  test('hold for the examples of the README, strictly', () => {
    const readme = readFileSync(join(packed.installed, 'README.md'), 'utf8');
    const blocks = [...readme.matchAll(/```(?:js|ts)\n([^]*?)```/g)].map(([, code]) => code);
    assert.equal(blocks.length, 2);
    const place = join(packed.installed, '../../typed');
    mkdirSync(place);
    const files = blocks.map((code, index) => join(place, `example-${index}.ts`));
    for (const [index, file] of files.entries()) writeFileSync(file, blocks[index]);
    execFileSync(join(room, 'node_modules/.bin/tsc'), [
      '--noEmit', '--strict', '--noUncheckedIndexedAccess', '--exactOptionalPropertyTypes',
      '--target', 'es2023', '--module', 'esnext', '--moduleResolution', 'bundler',
      '--lib', 'es2023,dom', ...files,
    ], { cwd: place, stdio: 'pipe' });
  });

  test('leave no `any`', () => {
    for (const name of ['index.d.ts', 'types.d.ts']) {
      const types = readFileSync(join(packed.installed, name), 'utf8').replace(/\/\*[^]*?\*\//g, '');
      assert.doesNotMatch(types, /\bany\b/, name);
    }
  });
});

describe('equilibrium', () => {
  test('takes quantities as people write them, and its own answers', () => {
    const well = underlet.equilibrium({
      calcium: '110 mg/L', alkalinity: '260 mg/L as CaCO3', ph: 'pH 7.3', temperature: '12 °C',
    });
    const bare = { calcium: 110, alkalinity: 260, ph: 7.3, temperature: 12 };
    assert.deepEqual(underlet.equilibrium(bare), well);
    const { alkalinity, total_carbon } = well;
    const again = underlet.equilibrium({ calcium: 110, alkalinity, total_carbon, temperature: 12 });
    assert.ok(Math.abs(again.ph - 7.3) <= 1e-9 * 7.3, again.ph);
  });
});

describe('in a browser', () => {
  let browser;
  let folder;
  before(async () => {
    browser = await require('playwright-core').chromium.launch(CHROMIUM);
    folder = join(packed.installed, '../..');
  });
  after(() => browser?.close());

  const PLAN = "document.title = plan(examples()['pale-ale-10hl']).name;";
  const SIMPLE = `import { examples, init, plan } from 'underlet';\nawait init();\n${PLAN}\n`;
  /** What esbuild needs: the file as an asset of its own, and its address. */
  const WITH_ADDRESS = `import { examples, init, plan } from 'underlet';
    import wasm from 'underlet/underlet_bg.wasm';
    await init(new URL(wasm, import.meta.url));
    ${PLAN}`;

  /** Writes a page of one script into a folder of its own. */
  function project(name, script) {
    const place = join(folder, name);
    mkdirSync(place);
    const html = '<!doctype html><link rel="icon" href="data:,">'
      + '<script type="module" src="main.js"></script>';
    writeFileSync(join(place, 'index.html'), html);
    writeFileSync(join(place, 'main.js'), script);
    return place;
  }

  /** A project built by esbuild: the folder to serve. */
  async function esbuild(name, script, loader = {}) {
    const place = project(name, script);
    const outdir = join(place, 'dist');
    await require('esbuild').build({
      entryPoints: [join(place, 'main.js')], bundle: true, format: 'esm', outdir, loader,
      logLevel: 'warning',
    });
    cpSync(join(place, 'index.html'), join(outdir, 'index.html'));
    return outdir;
  }

  /** Opens what a folder serves: the title once it is set, or the first uncaught error. */
  async function opened(served, path = '') {
    const site = await serve(served);
    const page = await browser.newPage();
    try {
      const failure = new Promise((done) => {
        page.on('pageerror', ({ message }) => done(message));
      });
      await page.goto(site.address + path);
      const title = page.waitForFunction(() => document.title).then((handle) => handle.jsonValue());
      return await Promise.race([title, failure]);
    } finally {
      await page.close();
      site.close();
    }
  }

  test('plans from a plain script', async () => {
    const script = SIMPLE.replace("'underlet'", "'../node_modules/underlet/index.js'");
    project('plain', script);
    assert.equal(await opened(folder, 'plain/index.html'), fresh().name);
  });

  test('plans in a worker', async () => {
    const script = "import { examples, init, plan } from '../node_modules/underlet/index.js';\n"
      + "await init();\npostMessage(plan(examples()['pale-ale-10hl']).name);\n";
    const place = project('worker', "new Worker('worker.js', { type: 'module' })"
      + '.onmessage = ({ data }) => { document.title = data; };');
    writeFileSync(join(place, 'worker.js'), script);
    assert.equal(await opened(folder, 'worker/index.html'), fresh().name);
  });

  test('plans in a Vite build', async () => {
    const root = project('vite', SIMPLE);
    const { build } = await import(pathToFileURL(require.resolve('vite')).href);
    await build({ root, logLevel: 'warn', configFile: false });
    assert.equal(await opened(join(root, 'dist')), fresh().name);
  });

  test('plans in an esbuild build that names the file', async () => {
    const built = await esbuild('esbuild', WITH_ADDRESS, { '.wasm': 'file' });
    assert.equal(await opened(built), fresh().name);
  });

  test('says what to do where a bundler leaves the file behind', async () => {
    const failure = await opened(await esbuild('left-behind', SIMPLE));
    assert.match(failure, /underlet_bg\.wasm could not be loaded \(.*404.*\)\. .*init\(url\)/);
  });

  test('says what init takes when it is given something else', async () => {
    const script = SIMPLE.replace("'underlet'", "'../node_modules/underlet/index.js'");
    project('mistaken', script.replace('init()', "init('nowhere.wasm')"));
    const failure = await opened(folder, 'mistaken/index.html');
    assert.match(failure, /could not be loaded \(.*404.*\)\. init takes the address of the file/);
    assert.doesNotMatch(failure, /bundler/);
  });

  test('says so when it is called before it is loaded', async () => {
    const script = SIMPLE.replace("'underlet'", "'../node_modules/underlet/index.js'");
    project('early', script.replace('await init();', ''));
    assert.match(await opened(folder, 'early/index.html'), /await init\(\) before/);
  });
});
