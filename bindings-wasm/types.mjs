// node types.mjs: writes js/types.d.ts and the schemas of what is read, js/*.schema.json, from the
// JSON Schemas of the core; with --check it only compares.

import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

import { compile } from 'json-schema-to-typescript';

const room = import.meta.dirname;

const BANNER = '// Written by `npm run types` from the core: change that, not this file.\n';

/** The documents by the names they have in JavaScript. */
const TITLES = {
  brew_day: 'BrewDay', plan: 'Plan', water_report: 'WaterReport', water: 'Water', readings: 'Readings', diagnosis: 'Diagnosis',
  tank_day: 'TankDay', tank_ledger: 'TankLedger', ion_fit: 'IonFit', fitted_ions: 'FittedIons',
  equilibrium_input: 'EquilibriumInput', equilibrium: 'Equilibrium',
  input_error: 'InputErrorDocument',
};

/** The input documents. */
const READ = ['brew_day', 'water_report', 'readings', 'tank_day', 'ion_fit', 'equilibrium_input'];

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
    const { definitions: shared = {}, $schema, ...schema } = olderDialect(READ.includes(key) ? anyLength(schemas[key]) : schemas[key]);
    Object.assign(definitions, shared, { [title]: { ...schema, title } });
  }
  // The day of a readings document is a brew-day document.
  definitions.Readings.properties.brew_day = { $ref: '#/definitions/BrewDay' };
  const properties = Object.fromEntries(
    Object.values(TITLES).map((title) => [title, { $ref: `#/definitions/${title}` }]),
  );
  return { title: 'Documents', type: 'object', additionalProperties: false, required: Object.values(TITLES), properties, definitions };
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
  const read = READ.map((key) => [`${key.replace('_', '-')}.schema.json`, `${JSON.stringify(schemas[key], null, 2)}\n`]);
  return { 'types.d.ts': types, ...Object.fromEntries(read) };
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
