// Cut: what is cut.

import { h } from './dom.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'cut',
  keys: [],
  open: (board) => new Cut(board),
};

class Cut {
  element = h('section', { class: 'stay cut', 'aria-label': 'Cut' });

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
