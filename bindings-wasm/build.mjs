// node build.mjs: builds the npm package into pkg/ and the page into pkg/page/.
//
// Needs Rust's target for browsers: rustup target add wasm32-unknown-unknown

import { execFileSync } from 'node:child_process';
import { cpSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { brotliCompressSync, gzipSync } from 'node:zlib';

const TARGET = 'wasm32-unknown-unknown';
/** Features of WebAssembly that the compiler's output uses; wasm-opt takes them as options. */
const WASM_FEATURES = [
  'bulk-memory', 'nontrapping-float-to-int', 'sign-ext', 'mutable-globals', 'reference-types',
  'multivalue',
];

const room = import.meta.dirname;
const root = join(room, '..');
const pkg = join(room, 'pkg');
const target = process.env.CARGO_TARGET_DIR ?? join(root, 'target');

function run(program, args) {
  execFileSync(program, args, { cwd: root, stdio: 'inherit' });
}

/** The wasm file and its JavaScript glue, into a folder. */
function buildEngine(folder) {
  run('cargo', ['build', '--profile', 'wasm', '--target', TARGET, '-p', 'underlet-wasm']);
  const compiled = join(target, TARGET, 'wasm/underlet_wasm.wasm');
  run('cargo', [
    'run', '--quiet', '-p', 'underlet-wasm-glue', '--', compiled, folder, 'underlet',
  ]);
  const wasm = join(folder, 'underlet_bg.wasm');
  const features = WASM_FEATURES.map((feature) => `--enable-${feature}`);
  run(join(room, 'node_modules/.bin/wasm-opt'), ['-O2', ...features, wasm, '-o', wasm]);
  // Replaces the types of the wasm's exports: a bundler's import of the file is its address.
  writeFileSync(`${wasm}.d.ts`, 'declare const address: string;\nexport default address;\n');
  return readFileSync(wasm);
}

/** The package's own package.json: its version is the workspace's. */
function writeManifest() {
  const workspace = readFileSync(join(root, 'Cargo.toml'), 'utf8');
  const version = /^version = "(.*)"$/m.exec(workspace)?.[1];
  const manifest = JSON.parse(readFileSync(join(room, 'js/package.json'), 'utf8'));
  writeFileSync(join(pkg, 'package.json'), `${JSON.stringify({ ...manifest, version }, null, 2)}\n`);
}

rmSync(pkg, { recursive: true, force: true });
cpSync(join(room, 'js'), pkg, { recursive: true });
for (const licence of ['LICENSE-MIT', 'LICENSE-APACHE']) {
  cpSync(join(root, licence), join(pkg, licence));
}
mkdirSync(join(pkg, 'wasm'));
const wasm = buildEngine(join(pkg, 'wasm'));
writeManifest();
cpSync(join(room, 'page'), join(pkg, 'page'), { recursive: true });
for (const part of ['index.js', 'engine.js', 'index.d.ts', 'types.d.ts', 'wasm']) {
  cpSync(join(pkg, part), join(pkg, 'page/underlet', part), { recursive: true });
}
const kilobytes = (bytes) => `${(bytes.length / 1000).toFixed(0)} kB`;
const gzipped = kilobytes(gzipSync(wasm, { level: 9 }));
const brotli = kilobytes(brotliCompressSync(wasm));
console.log(`underlet_bg.wasm: ${kilobytes(wasm)}, ${gzipped} gzipped, ${brotli} with brotli`);
