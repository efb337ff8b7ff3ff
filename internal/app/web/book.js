// Book: the pages as they will print, the verdict of the proof, and the files.

import { ask, choices, value } from './ask.js';
import { h, measured, put } from './dom.js';
import { cost, findings, link, look, unready, upper } from './plan.js';
import { terms } from './terms.js';
import { page, pages } from './talk.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'book',
  keys: [['arrows, Page Down', 'scroll the pages, when they have the focus']],
  open: (board) => new Book(board),
};

class Book {
  /** @type {any} */ view = null;
  /** @type {Map<string, Element>} */ known = new Map();
  wanted = '';
  making = false;
  head = h('div', { class: 'side' });
  list = h('div', { class: 'sheets', tabindex: '0', role: 'region', 'aria-label': 'Pages' });
  element = h('section', { class: 'stay book', 'aria-label': 'Book' }, this.head, this.list);

  /** @param {Board} board */
  constructor(board) {
    this.board = board;
  }

  month() { return -1; }

  /** @param {Answer} answer */
  show(answer) {
    const v = this.view = answer.view;
    const doc = v.documents.find((/** @type {any} */ d) => d.month === v.document);
    put(this.head,
      h('div', { class: 'values' }, value('document', h('strong', {}, upper(doc.says)), 'Document', (at) => this.documents(at)),
        value('paper', v.paper === 'a4' ? 'A4 paper' : 'letter paper', 'Paper', () => look(this.board, { paper: v.paper === 'a4' ? 'letter' : 'a4' })),
        h('span', { class: 'count' }), terms(this.board, v.terms)),
      unready(v),
      v.ready && h('p', { class: `proof ${v.holds ? 'proven' : ''}` }, v.proof.length ? v.proof.flatMap((/** @type {string} */ t) => measured(`${t} `)) : 'The pages stand; the plan is still being proven.'),
      this.make(v), findings(v.found),
      h('p', { class: 'next' }, 'Which month makes what, and your own words for it: ', link('months', {}, 'months')), cost(v, this.board));
    void this.follow(answer.revision);
  }

  /** What makes the files, and where they are. @param {any} v */
  make(v) {
    const made = v.made.length > 0;
    return h('div', { class: 'make' },
      this.making ? h('p', { role: 'status' }, 'Writing …')
        : v.holds ? h('p', {}, h('button', { type: 'button', class: 'word big', 'data-focus': 'make', onclick: () => void this.write() }, made && v.fresh ? 'make the PDFs again' : 'make the PDFs'),
          h('span', { class: 'dim' }, 'the pattern and every month on letter and A4, all drawings, the cutting list (CSV) and the plan (JSON)'))
          : v.ready && h('p', { class: 'dim' }, v.proof.length ? 'A pattern whose proof fails is not written.' : 'They can be made when the plan is proven.'),
      made && h('div', { class: 'files', role: 'status' },
        h('p', {}, v.fresh ? 'Written to ' : 'An earlier state of the quilt lies in ', h('b', { class: 'path' }, v.folder), '. A name saves a copy elsewhere:'),
        h('p', { class: 'names' }, v.made.map((/** @type {string} */ f) => h('a', { class: 'word', href: `/made/${f}`, download: f, 'data-focus': `file ${f}` }, f)))));
  }

  async write() {
    this.making = true;
    const revision = this.board.answer?.revision;
    if (this.board.answer) this.show(this.board.answer);
    const done = this.board.change('/make', {});
    this.making = false; // what is shown next is the answer
    if (await done) this.board.say(revision === this.board.answer?.revision ? 'The pattern is written.' : '');
    else if (this.board.answer) this.show(this.board.answer);
  }

  /** Shows the pages of the document as the plan stands. @param {number} revision */
  async follow(revision) {
    const v = this.view, mine = this.wanted = `${revision} ${v.document} ${v.paper} ${this.board.answer?.stage}`;
    let got;
    try {
      got = await pages(v.document, '', v.paper);
    } catch { return; } // the board says that the server is gone
    if (mine !== this.wanted || got.why) return;
    await Promise.all(got.pages.map(async (p) => {
      if (this.known.has(p.hash)) return;
      try {
        const svg = new DOMParser().parseFromString(await page(p.hash), 'image/svg+xml').documentElement;
        for (const a of ['width', 'height', 'role']) svg.removeAttribute(a);
        for (const e of svg.querySelectorAll('[id^="s"]')) e.removeAttribute('id'); // marks of the outline; names of patterns stay
        this.known.set(p.hash, h('figure', { class: 'sheet' }, document.importNode(svg, true)));
      } catch { /* said in its place */ }
    }));
    if (mine !== this.wanted) return;
    const top = this.list.scrollTop;
    this.list.replaceChildren(...got.pages.map((p, i) => this.known.get(p.hash) ?? h('p', {}, `page ${i + 1} could not be loaded`)));
    this.list.scrollTop = top;
    const count = this.head.querySelector('.count');
    if (count) count.textContent = got.pages.length === 1 ? '1 page' : `${got.pages.length} pages`;
    for (const hash of this.known.keys()) if (this.known.size > 200 && !got.pages.some((p) => p.hash === hash)) this.known.delete(hash);
  }

  /** @param {Element} at */
  documents(at) {
    const close = ask({ title: 'Documents', near: at, body: [choices(this.view.documents.map((/** @type {any} */ d) => ({
      says: upper(d.says), chosen: d.month === this.view.document, pick: () => { this.list.scrollTop = 0; look(this.board, { month: String(d.month) }); },
    })), () => close())] });
  }
}
