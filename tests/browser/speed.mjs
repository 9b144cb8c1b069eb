// node tests/browser/speed.mjs [NAME=FOLDER ...]: what the page loads and how long it takes, as a
// table with a column for each built package; without arguments, of bindings-wasm/pkg. Times are
// medians, in Debian's Chromium from a server on this machine; measure on an idle one.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync, gzipSync } from 'node:zlib';

import { CHROMIUM, pkg, require, root, serve } from './workshop.mjs';

const LOADS = 7;
const PLANS = 21;
/** Slowdowns of the processor. */
const THROTTLES = [1, 4];

const tenSalts = join(root, 'core/benches/ten-salts');

const kilobytes = (bytes) => `${(bytes / 1000).toFixed(0)} kB`;
const milliseconds = (time) => `${time.toFixed(time < 100 ? 1 : 0)} ms`;

function median(values) {
  return values.toSorted((a, b) => a - b)[(values.length - 1) / 2];
}

/** The wasm files of a package, under a compression. */
function wasmBytes(folder, compress) {
  const names = readdirSync(folder).filter((name) => name.endsWith('.wasm'));
  const sizes = names.map((name) => compress(readFileSync(join(folder, name))).length);
  return sizes.reduce((sum, size) => sum + size, 0);
}

/** Notes, within a page, when its first plan is shown. */
function noteFirstPlan() {
  new MutationObserver((_, observer) => {
    if (document.body?.dataset.state !== 'planned') return;
    globalThis.firstPlan = performance.now();
    observer.disconnect();
  }).observe(document, { attributes: true, childList: true, subtree: true });
}

/** Opens the page with nothing cached, and waits for its first plan. */
async function open(browser, site, throttle = 1) {
  const context = await browser.newContext();
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send('Emulation.setCPUThrottlingRate', { rate: throttle });
  await page.addInitScript(noteFirstPlan);
  await page.goto(site.address);
  await page.waitForFunction(() => globalThis.firstPlan !== undefined);
  return page;
}

/** Uses every part of the page once: a bench, a reading, the tank, the sheet. */
async function touchEverything(page) {
  await page.getByText('Today’s measurements').click();
  await page.locator('[id="sources[0].bench.alkalinity"]').fill('250');
  await page.locator('.figures').waitFor();
  await page.locator('#read-mash_ph').fill('5.4');
  await page.locator('.explanations').waitFor();
  await page.locator('#tank-panel > summary').click();
  await page.locator('#begin-night').click();
  await page.locator('.ledger').waitFor();
  await page.getByRole('button', { name: 'Sheet to print' }).click();
  await page.frameLocator('#sheet-frame').locator('table').first().waitFor();
}

async function timeToFirstPlan(browser, site, throttle) {
  const times = [];
  for (let load = 0; load < LOADS; load += 1) {
    const page = await open(browser, site, throttle);
    times.push(await page.evaluate(() => globalThis.firstPlan));
    await page.context().close();
  }
  return median(times);
}

/** How long the engine takes for a day, in the browser but outside the page; `null` for a built-in day. */
async function timeToPlan(page, day, key) {
  const times = await page.evaluate(async ([given, name, runs]) => {
    const { examples, init, plan } = await import('/underlet/index.js');
    await init();
    const document = given ?? examples()[name];
    return Array.from({ length: runs }, () => {
      const begun = performance.now();
      plan(document);
      return performance.now() - begun;
    });
  }, [day, key, PLANS]);
  return median(times);
}

/** Everything of one package: names of rows with what was measured. */
async function measure(folder) {
  const wasm = join(folder, 'wasm');
  const rows = {
    'wasm, gzipped': kilobytes(wasmBytes(wasm, (body) => gzipSync(body, { level: 9 }))),
    'wasm, brotli': kilobytes(wasmBytes(wasm, brotliCompressSync)),
  };
  const site = await serve(join(folder, 'page'), { gzip: true });
  const browser = await require('playwright-core').chromium.launch(CHROMIUM);
  const page = await open(browser, site);
  rows['page to its first plan, gzipped'] = kilobytes(site.sent);
  await touchEverything(page);
  rows['page with everything used, gzipped'] = kilobytes(site.sent);
  for (const throttle of THROTTLES) {
    const time = await timeToFirstPlan(browser, site, throttle);
    rows[`first plan, processor ${throttle}× slower`] = milliseconds(time);
  }
  const examples = await page.evaluate(async () => {
    const underlet = await import('/underlet/index.js');
    return Object.keys(underlet.examples());
  });
  for (const key of examples) {
    rows[`plan of ${key}`] = milliseconds(await timeToPlan(page, null, key));
  }
  for (const file of readdirSync(tenSalts)) {
    const day = JSON.parse(readFileSync(join(tenSalts, file), 'utf8'));
    const name = `plan with ten salts, ${file.replace('.json', '')}`;
    rows[name] = milliseconds(await timeToPlan(page, day));
  }
  await browser.close();
  site.close();
  return rows;
}

const packages = process.argv.slice(2).map((argument) => argument.split('='));
if (packages.length === 0) packages.push(['now', pkg]);
const columns = [];
for (const [name, folder] of packages) columns.push([name, await measure(folder)]);

console.log(`| | ${columns.map(([name]) => name).join(' | ')} |`);
console.log(`|---|${columns.map(() => '---:|').join('')}`);
for (const row of Object.keys(columns[0][1])) {
  console.log(`| ${row} | ${columns.map(([, rows]) => rows[row]).join(' | ')} |`);
}
