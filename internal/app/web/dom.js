// Elements made in few words.

/** @typedef {Node|string|null|undefined|false} Child */

/**
 * An element with attributes and children. An attribute that is a function listens ("onclick"); true and false set and leave out; children
 * that are null or false are left out.
 * @param {string} tag @param {Record<string, any>} [attributes] @param {...(Child|Child[])} children
 * @returns {HTMLElement}
 */
export function h(tag, attributes = {}, ...children) {
  return /** @type {HTMLElement} */ (fill(document.createElement(tag), attributes, children));
}

/**
 * The same, of SVG.
 * @param {string} tag @param {Record<string, any>} [attributes] @param {...(Child|Child[])} children
 * @returns {SVGElement}
 */
export function s(tag, attributes = {}, ...children) {
  return /** @type {SVGElement} */ (fill(document.createElementNS('http://www.w3.org/2000/svg', tag), attributes, children));
}

/** @param {Element} to @param {Record<string, any>} attributes @param {(Child|Child[])[]} children */
function fill(to, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (typeof value === 'function') to.addEventListener(name.slice(2), value);
    else if (value === true) to.setAttribute(name, '');
    else if (value !== false && value !== null && value !== undefined) to.setAttribute(name, String(value));
  }
  for (const child of children.flat()) if (child) to.append(child);
  return to;
}

/**
 * Puts children in the place of all that an element holds, and the focus back on the one with the same data-focus.
 * @param {Element} to @param {...(Child|Child[])} children
 */
export function put(to, ...children) {
  const active = document.activeElement;
  const name = active instanceof HTMLElement && to.contains(active) ? active.dataset.focus : undefined;
  to.replaceChildren(.../** @type {Node[]} */ (children.flat().filter(Boolean)));
  if (name) {
    const again = to.querySelector(`[data-focus="${CSS.escape(name)}"]`);
    if (again instanceof HTMLElement) again.focus({ preventScroll: true });
  }
}

/** @param {string} id @returns {HTMLElement} */
export function byId(id) {
  const e = document.getElementById(id);
  if (!e) throw new Error(`the page has no “${id}”`);
  return e;
}

/** "3 1/2 in" with a real fraction, as elements. @param {string} text @returns {Child[]} */
export function measured(text) {
  return text.split(/(\d+\/\d+)/).map((part, i) => (i % 2 ? h('span', { class: 'frac' }, part) : part));
}
