// node types.mjs: writes js/types.d.ts and the schemas of all documents, js/*.schema.json, from the
// JSON Schemas of the core; with --check it only compares.

import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

import { compile } from 'json-schema-to-typescript';

const room = import.meta.dirname;

const BANNER = '// Written by `npm run types` from the core: change that, not this file.\n';

/** The documents by the names they have in JavaScript. */
const TITLES = {
  'brew-day': 'BrewDay', plan: 'Plan', 'water-report': 'WaterReport', water: 'Water',
  readings: 'Readings', diagnosis: 'Diagnosis', 'tank-day': 'TankDay', 'tank-ledger': 'TankLedger',
  'ion-fit': 'IonFit', 'fitted-ions': 'FittedIons', 'equilibrium-input': 'EquilibriumInput',
  equilibrium: 'Equilibrium', 'input-error': 'InputErrorDocument',
};

/** Those that people and programs write. */
const READ = ['brew-day', 'water-report', 'readings', 'tank-day', 'ion-fit', 'equilibrium-input'];

/** json-schema-to-typescript resolves `definitions`, the older name of the `$defs` in the core's schemas. */
function olderDialect(schema) {
  return JSON.parse(JSON.stringify(schema).replaceAll('"$defs"', '"definitions"').replaceAll('#/$defs/', '#/definitions/'));
}

/** Without the lengths of lists: programs build lists step by step, and the core checks them. */
function anyLength(schema) {
  return JSON.parse(JSON.stringify(schema, (key, value) => (['minItems', 'maxItems'].includes(key) ? undefined : value)));
}

/** One schema of all documents, so that shared types are written once. */
function together(schemas) {
  const definitions = {};
  for (const [key, title] of Object.entries(TITLES)) {
    const { definitions: shared = {}, $schema, $id, patternProperties, ...schema } = olderDialect(READ.includes(key) ? anyLength(schemas[key]) : schemas[key]);
    Object.assign(definitions, shared, { [title]: { ...schema, title } });
  }
  // The day of a readings document is a brew-day document.
  definitions.Readings.properties.brew_day = { $ref: '#/definitions/BrewDay' };
  const properties = Object.fromEntries(
    Object.values(TITLES).map((title) => [title, { $ref: `#/definitions/${title}` }]),
  );
  return { title: 'Documents', type: 'object', additionalProperties: false, required: Object.values(TITLES), properties, definitions };
}

/**
 * Types with the keys that users attach: json-schema-to-typescript would widen every other key.
 *
 * @param {string} types
 * @param {Record<string, { patternProperties?: object }>} schemas
 */
function withAttached(types, schemas) {
  const open = Object.keys(TITLES).filter((kind) => schemas[kind].patternProperties);
  return open.reduce((text, kind) => {
    const head = `export interface ${TITLES[kind]} {\n`;
    if (!text.includes(head)) throw new Error(`no ${head}`);
    return text.replace(head, `${head}  /**\n   * What users attach; the answer carries it.\n   */\n  [key: \`x-\${string}\`]: unknown;\n`);
  }, types);
}

/** The JSON Schemas of the core, by document. */
function coreSchemas() {
  const program = ['run', '--quiet', '-p', 'underlet-tests', '--bin', 'schemas'];
  const printed = execFileSync('cargo', program, {
    cwd: join(room, '..'), encoding: 'utf8', maxBuffer: 1 << 26,
  });
  return JSON.parse(printed);
}

/** The files that the core's schemas give: name in js/ and text. */
async function files() {
  const schemas = coreSchemas();
  const types = await compile(together(schemas), 'Documents', {
    additionalProperties: false,
    bannerComment: BANNER,
    format: true,
    strictIndexSignatures: true,
    style: { singleQuote: true, printWidth: 110 },
    unknownAny: true,
    unreachableDefinitions: false,
  });
  const written = Object.keys(TITLES).map((kind) => [`${kind}.schema.json`, `${JSON.stringify(schemas[kind], null, 2)}\n`]);
  return { 'types.d.ts': withAttached(types, schemas), ...Object.fromEntries(written) };
}

for (const [name, fresh] of Object.entries(await files())) {
  const path = join(room, 'js', name);
  if (!process.argv.includes('--check')) {
    writeFileSync(path, fresh);
  } else if (readFileSync(path, 'utf8') !== fresh) {
    console.error(`js/${name} is not what the schemas say: run npm run types`);
    process.exitCode = 1;
  }
}
