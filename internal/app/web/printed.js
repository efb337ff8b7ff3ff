// The pages that will be printed. Only those that changed are asked for: a page is known by its content.

import { h, put } from './dom.js';
import { page, pages } from './talk.js';

/** @typedef {import('./talk.js').Sheet} Sheet */

export class Printed {
  /** @type {Map<string, Element>} */
  known = new Map();
  month = -1;
  revision = 0;
  asked = 0;
  list = h('div', { class: 'pages', tabindex: '0', role: 'region', 'aria-label': 'Printed pages' });
  note = h('p', { class: 'note' });

  /** @param {Element} at @param {{answer?: {revision: number}}} board */
  constructor(at, board) {
    this.board = board;
    put(at, h('h2', { class: 'aside' }, 'The page that will be printed'), this.note, this.list);
  }

  /**
   * Shows the pages of a month as the plan stands, or of a block that the quilt does not have yet.
   * @param {number} month @param {string} block @param {number} revision
   */
  async follow(month, block, revision) {
    const mine = ++this.asked;
    this.list.classList.toggle('old', revision !== this.revision);
    let answer;
    try {
      answer = await pages(month, block, 'letter');
    } catch { return; } // the board says that the server is gone
    if (mine !== this.asked || answer.revision !== revision) return;
    this.note.textContent = answer.why ?? '';
    if (answer.why) return; // what was there stays, faded
    const wanted = answer.pages;
    await Promise.all(wanted.map((p) => this.fetch(p)));
    if (mine !== this.asked) return;
    const top = this.month === month ? this.list.scrollTop : 0;
    this.month = month;
    this.revision = revision;
    this.list.classList.remove('old');
    this.list.replaceChildren(...wanted.map((p, i) => this.known.get(p.hash) ?? h('p', {}, `page ${i + 1} could not be loaded`)));
    this.list.scrollTop = top;
    for (const hash of this.known.keys()) if (this.known.size > 200 && !wanted.some((p) => p.hash === hash)) this.known.delete(hash);
  }

  /** @param {Sheet} p */
  async fetch(p) {
    if (this.known.has(p.hash)) return;
    try {
      const drawn = new DOMParser().parseFromString(await page(p.hash), 'image/svg+xml').documentElement;
      drawn.removeAttribute('width');
      drawn.removeAttribute('height');
      drawn.removeAttribute('role');
      for (const e of drawn.querySelectorAll('[id^="s"]')) e.removeAttribute('id'); // marks of the outline; names of patterns stay
      this.known.set(p.hash, h('figure', { class: 'sheet' }, document.importNode(drawn, true)));
    } catch { /* said in its place */ }
  }
}
