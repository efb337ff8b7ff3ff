// Terms: what the whole quilt is made by and no drawing shows, as values that are clicked. The server says what there is to type and to choose.

import { ask, choices, line, value } from './ask.js';
import { measured } from './dom.js';

/** @typedef {import('./board.js').Board} Board */

/**
 * @typedef {{says: string, value: string, chosen: boolean}} Way
 * @typedef {{name: string, label: string, says: string, at: string[], typed: string, value: string, key: string, length: boolean, choices: Way[]}} Term
 */

/** @param {Board} board @param {Term[]} all */
export function terms(board, all) {
  return all.map((t) => value(t.name, measured(t.says), t.label, (near) => change(board, t, near)));
}

/** @param {Board} board @param {Term} t @param {Element} near */
function change(board, t, near) {
  const put = (/** @type {any} */ to) => void board.do(to === '' ? { do: 'drop', at: t.at } : { do: 'put', at: t.at, value: to });
  const close = ask({ title: t.label, near, body: [
    t.typed && line({ label: t.typed, value: t.value, word: 'set', done: (text) => {
      const to = t.length ? bare(text) : text;
      if (to !== t.value || (t.key && to)) put(to && t.key ? { [t.key]: to } : to);
    } }, () => close()),
    t.choices.length > 0 && choices(t.choices.map((c) => ({ says: c.says, chosen: c.chosen, pick: () => { if (!c.chosen) put(c.value); } })), () => close()),
  ] });
}

/** A length without its measure. @param {string} text */
export function bare(text) { return text.replace(/\s*(in|cm|")$/, ''); }
