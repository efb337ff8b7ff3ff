// Sew: the steps.

import { h } from './dom.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'sew',
  keys: [],
  open: (board) => new Sew(board),
};

class Sew {
  element = h('section', { class: 'stay sew', 'aria-label': 'Sew' });

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
