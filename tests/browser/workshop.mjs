// What the tests of this folder share: the package built by bindings-wasm/build.mjs, and a server for its page.

import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { extname, join, normalize } from 'node:path';
import { pathToFileURL } from 'node:url';

export const root = join(import.meta.dirname, '../..');
export const room = join(root, 'bindings-wasm');
export const pkg = join(room, 'pkg');

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
    loadWater: () => import(pathToFileURL(join(installed, 'water-node.js')).href),
    loadCheck: () => import(pathToFileURL(join(installed, 'check-node.js')).href),
    loadFit: () => import(pathToFileURL(join(installed, 'fit-node.js')).href),
    loadSheet: () => import(pathToFileURL(join(installed, 'sheet-node.js')).href),
    loadTank: () => import(pathToFileURL(join(installed, 'tank-node.js')).href),
    remove: () => rmSync(folder, { recursive: true }),
  };
}

const KINDS = {
  '.html': 'text/html; charset=utf-8', '.js': 'text/javascript', '.css': 'text/css', '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
};

/** Serves a folder on a free port of this machine. */
export async function serve(folder) {
  const server = createServer(async (request, response) => {
    const path = normalize(new URL(request.url, 'http://page').pathname).replace(/\/$/, '/index.html');
    try {
      const body = await readFile(join(folder, path));
      response.writeHead(200, { 'content-type': KINDS[extname(path)] ?? 'application/octet-stream' }).end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((ready) => server.listen(0, '127.0.0.1', ready));
  return { address: `http://127.0.0.1:${server.address().port}/`, close: () => server.close() };
}
