// What the tests of this folder share: the package built by bindings-wasm/build.mjs, and a server for its page.

import { execFileSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { extname, join, normalize } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';

export const root = join(import.meta.dirname, '../..');
export const room = join(root, 'bindings-wasm');
export const pkg = join(room, 'pkg');

const casesFolder = join(root, 'tests/cases');

const read = (file) => readFileSync(join(casesFolder, file), 'utf8');

/** The document of a case: `brew-day/pale-ale-2hl`. */
export const caseOf = (name) => JSON.parse(read(`${name}.json`)).document;

/** Every case of a kind of document, with its file and, unless it is refused, the kept answer. */
export function casesOf(kind) {
  const filesIn = (folder) => readdirSync(join(casesFolder, folder))
    .filter((name) => !name.endsWith('.answer.json')).sort()
    .map((name) => `${folder}/${name}`);
  const answered = filesIn(kind).map((file) => ({
    file, ...JSON.parse(read(file)), answer: read(file.replace('.json', '.answer.json')).trimEnd(),
  }));
  const refused = filesIn(`refused/${kind}`).map((file) => ({ file, ...JSON.parse(read(file)) }));
  return [...answered, ...refused];
}

/** Debian's Chromium, without a network beyond this machine. */
export const CHROMIUM = {
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
};

/** Requires what bindings-wasm has installed. */
export const require = createRequire(join(room, 'package.json'));

/** Packs the package as it would be published and installs it into an empty folder. */
export function installPacked() {
  const folder = mkdtempSync(join(tmpdir(), 'underlet-installed-'));
  const [{ filename, files }] = JSON.parse(
    execFileSync('npm', ['pack', '--json', '--pack-destination', folder], { cwd: pkg, encoding: 'utf8' }),
  );
  execFileSync('npm', ['install', '--offline', '--no-audit', '--no-fund', '--prefix', folder, join(folder, filename)]);
  const installed = join(folder, 'node_modules/underlet');
  return {
    installed,
    files: files.map(({ path }) => path).sort(),
    load: () => import(pathToFileURL(join(installed, 'node.js')).href),
    remove: () => rmSync(folder, { recursive: true }),
  };
}

const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** What axe finds against accessibility on a page: each rule with its nodes. */
export async function violations(page) {
  const isThere = await page.evaluate(() => 'axe' in globalThis);
  if (!isThere) await page.evaluate(require('axe-core').source);
  // Only what is wrong is handed back: the rest is large.
  return page.evaluate(async (values) => {
    const runOnly = { type: 'tag', values };
    const found = await globalThis.axe.run(document, { resultTypes: ['violations'], runOnly });
    const nodeOf = ({ html, failureSummary }) => `${html} ${failureSummary}`;
    return found.violations.map(({ id, nodes }) => [id, nodes.map(nodeOf)]);
  }, RULES);
}

/** With PICTURES=1, takes a picture for the eye into bindings-wasm/pkg/pictures. */
export async function picture(place, name, options = {}) {
  if (!process.env.PICTURES) return;
  const folder = join(pkg, 'pictures');
  mkdirSync(folder, { recursive: true });
  await place.screenshot({ path: join(folder, `${name}.png`), ...options });
}

const KINDS = {
  '.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.css': 'text/css', '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
};

/**
 * Serves a folder on a free port of this machine. With `gzip`, bodies are compressed, and `sent`
 * counts their bytes.
 */
export async function serve(folder, { gzip = false } = {}) {
  const bodies = new Map();
  const site = { sent: 0 };
  async function bodyOf(path) {
    if (!bodies.has(path)) {
      const body = await readFile(join(folder, path));
      bodies.set(path, gzip ? gzipSync(body, { level: 9 }) : body);
    }
    return bodies.get(path);
  }
  const server = createServer(async (request, response) => {
    const path = normalize(new URL(request.url, 'http://page').pathname)
      .replace(/\/$/, '/index.html');
    try {
      const body = await bodyOf(path);
      site.sent += body.length;
      response.writeHead(200, {
        'content-type': KINDS[extname(path)] ?? 'application/octet-stream',
        ...(gzip && { 'content-encoding': 'gzip' }),
      }).end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((ready) => server.listen(0, '127.0.0.1', ready));
  const address = `http://127.0.0.1:${server.address().port}/`;
  return Object.assign(site, { address, close: () => server.close() });
}
