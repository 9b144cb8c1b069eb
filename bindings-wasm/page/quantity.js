// Splits a quantity into a number and a unit for a field with its unit beside it, and joins them again. The core does the
// parsing: anything that does not look like a number with a unit is handed to it as written.

const NUMBER = String.raw`[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?`;
// Words that join two numbers are not units.
const UNIT = String.raw`(?!(?:to|bis)\b)[A-Za-z°%µμ][^,;]*?`;
const BARE = new RegExp(`^\\s*${NUMBER}\\s*$`);
const ONE_NUMBER = new RegExp(`^\\s*${NUMBER}\\s*(?:${UNIT})?\\s*$`);
// Also a detection limit or a range; a text with more words than a unit stays as written.
const WITH_UNIT = new RegExp(`^\\s*([<≤]?\\s*${NUMBER}(?:\\s*[-–]\\s*${NUMBER})?)\\s*(${UNIT})\\s*$`);
const WORDS = /[A-Za-z°%µμ]/;
const RANGE = new RegExp(`^\\s*(${NUMBER})\\s*[-–]\\s*(${NUMBER})\\s*(|[A-Za-z°%µμ].*?)\\s*$`);
const ONE_END = new RegExp(`^\\s*at (least|most)\\s+(${NUMBER})\\s*(|[A-Za-z°%µμ].*?)\\s*$`);

/** @typedef {{ text: string, unit: string }} Written */

/**
 * A value of a document as text and unit.
 *
 * @param {unknown} value
 * @param {string} usual The unit to show where none is written.
 * @returns {Written}
 */
export function split(value, usual) {
  if (value === undefined || value === null) return { text: '', unit: usual };
  if (typeof value === 'object' && 'value' in value && 'unit' in value) {
    return { text: String(value.value), unit: String(value.unit) };
  }
  const [, text, unit] = WITH_UNIT.exec(String(value)) ?? [];
  if (text !== undefined && unit !== undefined) return { text, unit };
  return { text: String(value), unit: WORDS.test(String(value)) ? '' : usual };
}

/**
 * The value for the document, or `undefined` for an empty field.
 *
 * @param {Written} written
 * @returns {string | number | undefined}
 */
export function join({ text, unit }) {
  if (text.trim() === '') return undefined;
  if (WORDS.test(text)) return text;
  if (unit !== '') return `${text.trim()} ${unit}`;
  if (!BARE.test(text)) return text;
  const number = Number(text);
  return Number.isNaN(number) ? text : number;
}

/**
 * A quantity multiplied by a factor, in its own unit; anything but a plain number is returned unchanged.
 *
 * @param {unknown} value
 * @param {number} times
 * @returns {unknown}
 */
export function scale(value, times) {
  const { text, unit } = split(value, '');
  if (times === 1 || !BARE.test(text)) return value;
  return join({ text: String(Number((times * plain(text)).toPrecision(12))), unit });
}

/**
 * A share or a count as a number: 0.25, "0,25", "25 %"; `undefined` for anything else.
 *
 * @param {unknown} value
 */
export function ratio(value) {
  const { text, unit } = split(value, '');
  if (!BARE.test(text) || !['', '%'].includes(unit)) return undefined;
  return plain(text) / (unit === '%' ? 100 : 1);
}

/** @param {string} text A number, with a comma or a point. */
function plain(text) {
  return Number(text.replace(',', '.'));
}

/**
 * A range as an object; an object, and a text that is not a plain range, are returned unchanged.
 *
 * @param {unknown} value
 * @returns {unknown}
 */
export function rangeObject(value) {
  if (typeof value !== 'string') return value;
  const [, side, end, of] = ONE_END.exec(value) ?? [];
  if (end !== undefined && of !== undefined) return { [side === 'least' ? 'low' : 'high']: join({ text: end, unit: of }) };
  const [, low, high, unit] = RANGE.exec(value) ?? [];
  if (low === undefined || high === undefined || unit === undefined) return value;
  return { low: join({ text: low, unit }), high: join({ text: high, unit }) };
}

/**
 * True for a number without a unit.
 *
 * @param {unknown} value
 */
export function isBare(value) {
  return typeof value === 'number' || (typeof value === 'string' && BARE.test(value));
}

/**
 * True for one number with or without a unit, not for a range, a detection limit or a number with a standard deviation.
 *
 * @param {unknown} value
 */
export function isOneNumber(value) {
  return typeof value === 'number' || (typeof value === 'string' && ONE_NUMBER.test(value));
}
