// Builds elements with the plain DOM, so that text is never parsed as markup.

/** @typedef {Record<string, string | number | boolean | null | undefined | ((event: Event) => void)>} Properties */
/** @typedef {Node | string | null | undefined | false} Child */

const SVG = 'http://www.w3.org/2000/svg';

/**
 * An HTML element; a property that is a function becomes a listener for the event of that name.
 *
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Properties} [properties]
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function h(tag, properties = {}, ...children) {
  const element = document.createElement(tag);
  fill(element, properties, children);
  return element;
}

/**
 * An SVG element.
 *
 * @param {string} tag
 * @param {Properties} [properties]
 * @param {...Child} children
 */
export function svg(tag, properties = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  fill(element, properties, children);
  return element;
}

/**
 * @param {Element} element
 * @param {Properties} properties
 * @param {Child[]} children
 */
function fill(element, properties, children) {
  for (const [name, value] of Object.entries(properties)) {
    if (typeof value === 'function') element.addEventListener(name, value);
    else if (value === true) element.setAttribute(name, '');
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, String(value));
  }
  element.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
}

/**
 * Opens every collapsed part around an element.
 *
 * @param {Element} element
 */
export function reveal(element) {
  for (let above = element.closest('details'); above; above = above.parentElement?.closest('details') ?? null) above.open = true;
}

/**
 * The element of the page with this id.
 *
 * @template {HTMLElement} T
 * @param {string} id
 * @param {new () => T} kind
 * @returns {T}
 */
export function byId(id, kind) {
  const element = document.getElementById(id);
  if (!(element instanceof kind)) throw new Error(`the page has no ${kind.name} #${id}`);
  return element;
}
