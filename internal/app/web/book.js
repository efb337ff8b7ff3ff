// Book: the pages.

import { h } from './dom.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'book',
  keys: [],
  open: (board) => new Book(board),
};

class Book {
  element = h('section', { class: 'stay book', 'aria-label': 'Book' });

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
