// node types.mjs: writes js/types.d.ts and the schemas of what is read, js/*.schema.json, from the JSON Schemas of the core, and its texts that need
// no reckoning; with --check it only compares.

import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

import { compile } from 'json-schema-to-typescript';

const room = import.meta.dirname;

const BANNER = '// Written by `npm run types` from the core: change that, not this file.\n';

/** The documents by the names they have in JavaScript. */
const TITLES = {
  brew_day: 'BrewDay', plan: 'Plan', water_report: 'WaterReport', water: 'Water', readings: 'Readings', diagnosis: 'Diagnosis',
  tank_day: 'TankDay', tank_ledger: 'TankLedger', ion_fit: 'IonFit', fitted_ions: 'FittedIons', input_error: 'InputErrorDocument',
};

/** Types of the constants. */
const CONSTANTS = {
  EXAMPLES: "Record<string, import('./index.js').BrewDay>",
  NAMES: "import('./index.js').Names",
  ERROR_CODES: "Record<import('./index.js').ErrorCode, string>",
  FINDING_CODES: "Record<import('./water.js').FindingCode, string>",
  TANK_FINDING_CODES: "Record<import('./tank.js').TankFindingCode, string>",
};

/** Those that people and programs write. */
const READ = ['brew_day', 'water_report', 'readings', 'tank_day', 'ion_fit'];

/** json-schema-to-typescript resolves `definitions`; the core's schemas say `$defs` of the same meaning. */
function olderDialect(schema) {
  return JSON.parse(JSON.stringify(schema).replaceAll('"$defs"', '"definitions"').replaceAll('#/$defs/', '#/definitions/'));
}

/** Without the lengths of lists: programs build lists step by step, and the core checks what they hold. */
function anyLength(schema) {
  return JSON.parse(JSON.stringify(schema, (key, value) => (['minItems', 'maxItems'].includes(key) ? undefined : value)));
}

/** One schema that holds all documents, so that a type they share is written once. */
function together(schemas) {
  const definitions = {};
  for (const [key, title] of Object.entries(TITLES)) {
    const { definitions: shared = {}, $schema, ...schema } = olderDialect(READ.includes(key) ? anyLength(schemas[key]) : schemas[key]);
    Object.assign(definitions, shared, { [title]: { ...schema, title } });
  }
  // The day of a readings document is the brew-day document.
  definitions.Readings.properties.brew_day = { $ref: '#/definitions/BrewDay' };
  const properties = Object.fromEntries(
    Object.values(TITLES).map((title) => [title, { $ref: `#/definitions/${title}` }]),
  );
  return { title: 'Documents', type: 'object', additionalProperties: false, required: Object.values(TITLES), properties, definitions };
}

/** What a program of the workspace prints. */
function printedBy(program) {
  const printed = execFileSync('cargo', ['run', '--quiet', '-p', 'underlet-tests', '--bin', program], {
    cwd: join(room, '..'), encoding: 'utf8', maxBuffer: 1 << 26,
  });
  return JSON.parse(printed);
}

/** A module of constants. */
function constants(values) {
  const written = ([name, value]) => `\n/** @type {${CONSTANTS[name]}} */\nexport const ${name} = ${JSON.stringify(value, null, 1)};\n`;
  return BANNER + Object.entries(values).map(written).join('');
}

/** The files as the core's schemas have them now: name in js/ and text. */
async function files() {
  const schemas = printedBy('schemas');
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
  const { FINDING_CODES, TANK_FINDING_CODES, ...others } = printedBy('texts');
  return { 'types.d.ts': types, 'texts.js': constants(others), 'findings.js': constants({ FINDING_CODES, TANK_FINDING_CODES }), ...Object.fromEntries(read) };
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
