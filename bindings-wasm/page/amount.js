// A quantity on the page: a field for a number with its unit beside it.

import { h } from './dom.js';
import { join, split } from './quantity.js';

/**
 * @param {object} given
 * @param {string} given.id
 * @param {unknown} given.value What the document says.
 * @param {string} given.unit The unit to show where none is written.
 * @param {string | undefined} [given.spoken] Its accessible name, where the label alone is not enough.
 * @param {(value: string | number | undefined) => void} given.write Receives what is typed, as a value of the document.
 * @returns {{ input: HTMLInputElement, shown: HTMLElement }} The field, and the field with its unit.
 */
export function amount({ id, value, unit: usual, spoken, write }) {
  let { text, unit } = split(value, usual);
  const beside = h('span', { class: 'unit', id: `${id}-unit` }, unit);
  const input = h('input', {
    type: 'text', inputmode: 'decimal', value: text, id, 'aria-label': spoken, 'aria-describedby': beside.id,
  });
  input.addEventListener('input', () => write(join({ text: input.value, unit })));
  input.addEventListener('change', () => {
    // A unit typed with the number moves beside the field.
    ({ text, unit } = split(join({ text: input.value, unit }), usual));
    input.value = text;
    beside.textContent = unit;
  });
  return { input, shown: h('span', { class: 'amount' }, input, beside) };
}
