// Months: the months.

import { h } from './dom.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'months',
  keys: [],
  open: (board) => new Months(board),
};

class Months {
  element = h('section', { class: 'stay months', 'aria-label': 'Months' });

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
