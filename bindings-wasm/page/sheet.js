// Shows the core's printable sheet in a frame. The page's Content-Security-Policy forbids style elements, also in the
// sheet, so its style is given to the frame as a constructed style sheet.

import { byId } from './dom.js';

const dialog = byId('sheet', HTMLDialogElement);
const frame = byId('sheet-frame', HTMLIFrameElement);
byId('sheet-print', HTMLButtonElement).addEventListener('click', () => frame.contentWindow?.print());
byId('sheet-close', HTMLButtonElement).addEventListener('click', () => dialog.close());

/** @param {string} html */
export function showSheet(html) {
  dialog.showModal();
  const inside = frame.contentDocument;
  const view = frame.contentWindow;
  if (!inside || !view) return;
  /** @type {CSSStyleSheet[]} */
  const styles = [];
  const bare = html.replace(/<style>([^]*?)<\/style>/g, (_, rules) => {
    const style = new (/** @type {typeof globalThis} */ (/** @type {unknown} */ (view))).CSSStyleSheet();
    style.replaceSync(rules);
    styles.push(style);
    return '';
  });
  const parsed = new DOMParser().parseFromString(bare, 'text/html');
  inside.replaceChild(inside.adoptNode(parsed.documentElement), inside.documentElement);
  inside.adoptedStyleSheets = styles;
}
