// Cloth: the fabrics.

import { h } from './dom.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'cloth',
  keys: [],
  open: (board) => new Cloth(board),
};

class Cloth {
  element = h('section', { class: 'stay cloth', 'aria-label': 'Cloth' });

  /** @param {Board} board */
  constructor(board) {
    this.board = board;
  }

  month() { return 0; }

  /** @param {Answer} answer */
  show(answer) {
    this.view = answer.view;
  }
}
