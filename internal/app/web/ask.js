// A small panel that asks for one thing: values of the sheet are text, and a click on one opens it.

import { h } from './dom.js';

/** @typedef {import('./dom.js').Child} Child */

/** Whether a panel is open. */
export function isOpen() {
  return document.querySelector('dialog[open]') !== null;
}

/**
 * Opens a panel. It closes by Escape, by a click beside it, and by close.
 * @param {{title: string, near?: Element, body: (Child|Child[])[]}} what
 * @returns {() => void} close
 */
export function ask({ title, near, body }) {
  const back = document.activeElement;
  const name = back instanceof HTMLElement ? back.dataset.focus : undefined;
  const dialog = /** @type {HTMLDialogElement} */ (h('dialog', { 'aria-label': title }, h('h2', {}, title), ...body,
    h('button', { type: 'button', class: 'word close', onclick: () => dialog.close() }, 'close')));
  document.body.append(dialog);
  dialog.addEventListener('click', (e) => { if (e.target === dialog) dialog.close(); });
  dialog.addEventListener('close', () => {
    dialog.remove();
    const to = (name && document.querySelector(`[data-focus="${CSS.escape(name)}"]`)) || back;
    if (to instanceof HTMLElement || to instanceof SVGElement) to.focus();
  });
  dialog.showModal();
  if (near) {
    const box = near.getBoundingClientRect(), own = dialog.getBoundingClientRect();
    dialog.style.left = `${Math.max(8, Math.min(box.left - 16, innerWidth - own.width - 8))}px`;
    dialog.style.top = `${Math.max(8, Math.min(box.bottom + 8, innerHeight - own.height - 8))}px`;
    dialog.classList.add('near');
  }
  const first = dialog.querySelector('[autofocus], input, button:not(.close)');
  if (first instanceof HTMLElement) first.focus();
  if (first instanceof HTMLInputElement) first.select();
  return () => dialog.close();
}

/**
 * A line to type into and a word to press. done gets the text; it is closed before.
 * @param {{label: string, value: string, word: string, done: (text: string) => void}} what @param {() => void} close
 */
export function line({ label, value, word, done }, close) {
  const input = /** @type {HTMLInputElement} */ (h('input', { value, autocomplete: 'off', spellcheck: 'false' }));
  return h('form', {
    onsubmit: (/** @type {Event} */ e) => { e.preventDefault(); close(); done(input.value.trim()); },
  }, h('label', {}, label, ' ', input), h('button', { class: 'word' }, word));
}

/**
 * A value: text that is clicked and changed.
 * @param {string} name for the focus @param {Child|Child[]} says @param {string} label what it is, for screen readers @param {(at: Element) => void} change
 */
export function value(name, says, label, change) {
  const b = h('button', { type: 'button', class: 'value', 'data-focus': name, title: label, onclick: () => change(b) }, h('span', { class: 'aside' }, label + ': '), says);
  return b;
}

/**
 * Choices to press, one a line. @param {{says: Child|Child[], chosen?: boolean, dim?: boolean, pick: () => void}[]} choices @param {() => void} close
 */
export function choices(choices, close) {
  return h('ul', { class: 'choices' }, choices.map((c) => h('li', {}, h('button', {
    type: 'button', class: 'choice' + (c.dim ? ' dim' : ''), 'aria-current': c.chosen ? 'true' : null, onclick: () => { close(); c.pick(); },
  }, c.says))));
}
