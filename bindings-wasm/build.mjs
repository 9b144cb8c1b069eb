// node build.mjs: builds the npm package into pkg/ and the page into pkg/page/.
//
// The package holds several libraries of one crate, each loaded when it is first needed: `planning`; `water`, which looks
// at reports; `check`, which looks at readings; `tank`, the ledger of the liquor tank; `fit`, ions alone; and `sheet`, which
// prints plans. The limit holds for each: it is what a page waits for before it can answer.
//
// The standard library is compiled along, so that a panic is a bare trap and brings no message machinery: that is a
// seventh of the file. Its source comes from rustup (component rust-src) where rustup can add it; elsewhere Debian's
// own compiler and source do it (packages rustc-web, cargo-web, rust-web-src and lld).
// UNDERLET_TOOLCHAIN=debian takes the second way on every machine.

import { execFileSync, spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

const TARGET = 'wasm32-unknown-unknown';
const LIBRARIES = ['planning', 'water', 'check', 'tank', 'fit', 'sheet'];
const LIMIT_BYTES = 200_000;
const WASM_FEATURES = [
  'bulk-memory', 'nontrapping-float-to-int', 'sign-ext', 'mutable-globals', 'reference-types', 'multivalue',
];
// A panic is a trap: it tells no place. Nothing that is shown is written by `Debug`, so that `Debug` writes nothing.
// Functions of a few more instructions than the compiler would inline for size pack better inlined.
const RUST_FLAGS = '-Zunstable-options -Cpanic=immediate-abort -Zlocation-detail=none -Zfmt-debug=none'
  + ' -Cllvm-args=-inline-threshold=20';
// Data cut at every run of zeros, and functions inlined once more than the compiler did, are fewer bytes before gzip
// and more after it; functions of one module, side by side, are fewer after it.
// What no call ever passes is found once all else is done, and swept out.
// The first kB of memory is the far end of the stack: nothing that has not overflown it points there.
const SHRINK = [
  '-Oz', '--converge', '--skip-pass=memory-packing', '--skip-pass=inlining-optimizing', '--reorder-functions-by-name',
  '--low-memory-unused', '--gufa', '--vacuum',
];
const DEBIAN_PACKAGES = ['rustc-web', 'cargo-web', 'rust-web-src', 'lld'];

const room = import.meta.dirname;
const root = join(room, '..');
const pkg = join(room, 'pkg');
const targetFolder = process.env.CARGO_TARGET_DIR ?? join(root, 'target');

/** Runs a program of the build; its failure is ours. */
function run(program, args, env = {}) {
  execFileSync(program, args, { cwd: root, stdio: 'inherit', env: { ...process.env, ...env } });
}

/** True when the program exists and succeeds; what it prints is not shown. */
function succeeds(program, args) {
  return spawnSync(program, args, { cwd: root, stdio: 'ignore' }).status === 0;
}

/** True when rustup has the source of the standard library, or could add it. */
function rustupHasSource() {
  if (process.env.UNDERLET_TOOLCHAIN === 'debian') return false;
  return succeeds('rustup', ['component', 'add', 'rust-src']);
}

/** The linker that speaks wasm, from Debian's packages or from rustup's toolchain. */
function wasmLinker() {
  const sysroot = spawnSync('rustc', ['--print', 'sysroot'], { cwd: root, encoding: 'utf8' }).stdout?.trim() ?? '';
  const host = /host: (.*)/.exec(spawnSync('rustc', ['-vV'], { cwd: root, encoding: 'utf8' }).stdout ?? '')?.[1] ?? '';
  const candidates = ['/usr/bin/rust-lld', join(sysroot, 'lib/rustlib', host, 'bin/rust-lld'), '/usr/bin/wasm-ld'];
  const found = candidates.find((path) => existsSync(path));
  if (!found) throw new Error(`no linker for ${TARGET}: install lld`);
  return found;
}

function debianCanBuild() {
  return succeeds('/usr/bin/rustc', ['--version']) && succeeds('/usr/bin/cargo', ['--version'])
    && succeeds('dpkg', ['-s', ...DEBIAN_PACKAGES]);
}

/** Compiles one of the libraries: the crate with the feature of that name alone. */
function compile(library) {
  const args = [
    'build', '--profile', 'wasm', '--target', TARGET, '-p', 'underlet-wasm', '--no-default-features', '--features', library,
    '-Zbuild-std=std,panic_abort', '-Zbuild-std-features=optimize_for_size',
  ];
  const env = {
    RUSTC_BOOTSTRAP: '1',
    CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS: RUST_FLAGS,
  };
  if (rustupHasSource()) {
    run('cargo', args, env);
  } else {
    if (!debianCanBuild()) {
      run('apt-get', ['update', '-qq']);
      run('apt-get', ['install', '-y', '-qq', ...DEBIAN_PACKAGES]);
    }
    run('/usr/bin/cargo', args, {
      ...env, RUSTC: '/usr/bin/rustc', CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER: wasmLinker(),
    });
  }
  return join(targetFolder, TARGET, 'wasm/underlet_wasm.wasm');
}

/** Writes the glue and the shrunk library into `out`. */
function bind(wasm, out, library) {
  const raw = mkdtempSync(join(tmpdir(), 'underlet-wasm-'));
  run('cargo', ['run', '--quiet', '--release', '-p', 'underlet-wasm-glue', '--', wasm, raw, library]);
  mkdirSync(out, { recursive: true });
  run(join(room, 'node_modules/.bin/wasm-opt'), [
    ...SHRINK, ...WASM_FEATURES.map((feature) => `--enable-${feature}`),
    join(raw, `${library}_bg.wasm`), '-o', join(out, `${library}_bg.wasm`),
  ]);
  for (const name of [`${library}.js`, `${library}.d.ts`]) cpSync(join(raw, name), join(out, name));
  rmSync(raw, { recursive: true });
}

/** The package's own package.json: its version is the workspace's. */
function writeManifest() {
  const version = /^version = "(.*)"$/m.exec(readFileSync(join(root, 'Cargo.toml'), 'utf8'))?.[1];
  const manifest = JSON.parse(readFileSync(join(room, 'js/package.json'), 'utf8'));
  writeFileSync(join(pkg, 'package.json'), `${JSON.stringify({ ...manifest, version }, null, 2)}\n`);
}

function checkSize(library) {
  const wasm = readFileSync(join(pkg, `wasm/${library}_bg.wasm`));
  const bytes = gzipSync(wasm, { level: 9 }).length;
  console.log(`${library}_bg.wasm: ${wasm.length} bytes, ${bytes} bytes gzipped (limit ${LIMIT_BYTES})`);
  if (bytes > LIMIT_BYTES) throw new Error(`${library}_bg.wasm is ${bytes - LIMIT_BYTES} bytes over its limit`);
}

rmSync(pkg, { recursive: true, force: true });
cpSync(join(room, 'js'), pkg, { recursive: true });
for (const library of LIBRARIES) bind(compile(library), join(pkg, 'wasm'), library);
writeManifest();
LIBRARIES.forEach(checkSize);
const engine = join(pkg, 'page/underlet');
for (const part of ['wasm', 'index.js', 'water.js', 'planning.js', 'sheet.js', 'sheets.js', 'reports.js', 'texts.js', 'findings.js', 'engine.js', 'index.d.ts', 'water.d.ts', 'sheet.d.ts',
  'types.d.ts', 'check.js', 'check.d.ts', 'diagnoses.js', 'tank.js', 'tank.d.ts', 'ledgers.js']) {
  cpSync(join(pkg, part), join(engine, part), { recursive: true });
}
cpSync(join(room, 'page'), join(pkg, 'page'), { recursive: true });
