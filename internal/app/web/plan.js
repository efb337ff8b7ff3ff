// What the places of the plan share: labels of pieces that light the piece up everywhere, what the last change costs, text with labels in it.

import { h, measured, put } from './dom.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./dom.js').Child} Child */

/** Keys that every place of the plan has. @type {[string, string][]} */
export const pieceKeys = [['] and [', 'light up the next or the former piece, in every place'], ['Escape', 'let it go']];

/** The same where a piece that was lit elsewhere is seen. @type {[string, string]} */
export const litKeys = ['], [, Escape', 'with a piece lit: the next or the former one, let it go'];

/** Looks at something else of the same place; null takes a word out of the address. @param {Board} board @param {Record<string, string|null>} changes */
export function look(board, changes) {
  const q = Object.fromEntries(board.query);
  for (const [k, v] of Object.entries(changes)) {
    if (v === null) delete q[k];
    else q[k] = v;
  }
  board.go(board.placeName, q);
}

/** Lights a piece up, or lets it go where it is lit. @param {Board} board @param {string} label */
export function light(board, label) {
  look(board, { piece: board.query.get('piece') === label ? null : label });
}

/**
 * Lets ] and [ and Escape do what pieceKeys says, wherever the focus is in the place. @param {Board} board @param {HTMLElement} element
 * @param {() => any} view @returns {() => void} to be called when the place is closed
 */
export function listenForPieces(board, element, view) {
  const on = (/** @type {KeyboardEvent} */ e) => {
    const at = e.target;
    if (e.defaultPrevented || document.querySelector('dialog[open]') || e.ctrlKey || e.metaKey || at instanceof HTMLInputElement || at instanceof HTMLTextAreaElement || !view()) return;
    const labels = view().labels;
    if (e.key === 'Escape' && view().piece) look(board, { piece: null });
    if ((e.key !== ']' && e.key !== '[') || !labels.length) return;
    e.preventDefault();
    const now = labels.indexOf(view().piece?.label ?? '');
    const by = e.key === ']' ? 1 : -1;
    look(board, { piece: labels[now < 0 ? (by > 0 ? 0 : labels.length - 1) : (now + by + labels.length) % labels.length] });
  };
  addEventListener('keydown', on);
  return () => removeEventListener('keydown', on);
}

/**
 * A text in which labels of pieces stand between pairs of asterisks: they are words that light the piece up. @param {string} text @param {Board} board
 * @param {any} view @param {string} where a name for the focus @returns {Child[]}
 */
export function rich(text, board, view, where) {
  const parts = text.split('**');
  return parts.flatMap((part, i) => {
    if (i % 2 === 0) return measured(i ? part.replace(closing, '') : part);
    const named = view.labels.includes(part) ? label(part, board, view, `${where} ${i}`) : h('b', {}, part);
    const end = closing.exec(parts[i + 1] ?? '')?.[0];
    return [end ? h('span', { class: 'together' }, named, end) : named]; // a stop does not begin a line
  });
}

const closing = /^[.,;:)\]]+/;

/** @param {string} says @param {Board} board @param {any} view @param {string} where */
export function label(says, board, view, where) {
  const lit = view.piece?.label === says;
  return h('button', { type: 'button', class: 'label', 'data-focus': `piece ${where} ${says}`, 'data-piece': says, 'aria-pressed': String(lit),
    title: lit ? `Let ${says} go` : `Light ${says} up everywhere`, onclick: () => light(board, says) }, says);
}

/** A link to another place, or elsewhere in this one; a piece stays lit. @param {string} place @param {Record<string, string>} query @param {Child|Child[]} says */
export function link(place, query, says) {
  const piece = new URLSearchParams(location.hash.split('?')[1] ?? '').get('piece');
  const q = new URLSearchParams(piece ? { piece, ...query } : query).toString();
  return h('a', { class: 'word', href: `#${place}${q ? `?${q}` : ''}`, 'data-focus': `to ${place} ${q}` }, says);
}

/** What is lit, and where it is. @param {any} view @param {Board} board @returns {Child} */
export function lit(view, board) {
  const p = view.piece;
  if (!p) return null;
  const swatch = h('span', { class: 'swatch' });
  swatch.style.background = p.color;
  const months = view.months.length > 1;
  return h('p', { class: 'lit-piece', role: 'status' }, swatch, ' ', rich(p.says, board, view, 'lit'), ' ',
    link('cut', { piece: p.label }, 'its strip'),
    p.blocks.map((/** @type {string} */ b) => link('press', { piece: p.label, block: b }, `in ${b}`)),
    p.sewn.map((/** @type {any} */ m) => link('sew', { piece: p.label, month: String(m.number) }, months ? `sewn in ${m.says}` : 'sewn')),
    h('button', { type: 'button', class: 'word', 'data-focus': 'let it go', onclick: () => look(board, { piece: null }) }, 'let it go'));
}

/**
 * What is lit beside a sheet, for a place that is also without a plan: what is said stays while a plan is on its way. @param {HTMLElement} at
 * @param {any} view @param {Board} board
 */
export function litBeside(at, view, board) {
  if (!view.piece && board.query.get('piece') && board.answer?.stage === 0) return;
  put(at, lit(view, board));
}

/** The revision whose cost was put away. */
let away = 0;

/** What the last change costs. @param {any} view @param {Board} board @returns {Child} */
export function cost(view, board) {
  const undo = board.answer?.undo, revision = board.answer?.revision ?? 0;
  if (!view.cost.known || !undo || revision === away) return null;
  const change = /^(put|drop)\b/.test(undo) ? 'The last change' : `The last change (${undo})`;
  const box = h('div', { class: 'cost', role: 'status' },
    h('button', { type: 'button', class: 'word close', 'data-focus': 'put the cost away', onclick: () => { away = revision; box.remove(); } }, 'put away'),
    view.cost.says.length
      ? [h('p', {}, `${change} makes this otherwise:`), h('ul', {}, view.cost.says.map((/** @type {string} */ t) => h('li', {}, measured(t))))]
      : h('p', {}, `${change} costs nothing: as many seams nest, as much is cut, bought and sewn as before.`));
  return box;
}

/** Findings, in the words of the findings. @param {any[]} found */
export function findings(found) {
  if (!found.length) return null;
  return h('ol', { class: 'found', 'aria-label': 'To mend', tabindex: '0' }, found.map((f) => h('li', { class: `${f.severity} nowhere` }, f.block && !f.says.includes(f.block) ? `${f.block}: ${f.says}` : upper(f.says), '. ',
    f.remedy && h('span', { class: 'remedy' }, `${upper(f.remedy)}. `), f.block && link('draft', { block: f.block }, 'draw it'))));
}

/** What is said where there is no plan. @param {any} view */
export function unready(view) {
  return view.ready ? null : h('p', { class: 'next' }, view.why);
}

/** @param {string} text */
export function upper(text) { return text.charAt(0).toUpperCase() + text.slice(1); }

/** A word that acts. @param {string} says @param {() => void} act @param {string} [name] */
export function word(says, act, name = says) {
  return h('button', { type: 'button', class: 'word', 'data-focus': name, onclick: act }, says);
}
