// The pages that will be printed. A page is known by its content, and asked for when it is in sight; while it is on its way the former one stays.

import { h, put } from './dom.js';
import { page, pages } from './talk.js';
import { ask, choices, value } from './ask.js';

/** @typedef {import('./talk.js').Sheet} Sheet */

/** What the papers are called. @type {[string, string][]} */
const papers = [['letter', 'US letter'], ['a4', 'A4']];

export class Printed {
  /** What of the pattern is shown: the month and the block. */
  what = '';
  /** The revision and the stage that the pages are of. */
  revision = 0;
  stage = '';
  asked = 0;
  /** @type {number|undefined} */ fading;
  list = h('div', { class: 'pages', tabindex: '0', role: 'region', 'aria-label': 'Printed pages' });
  note = h('p', { class: 'note' });
  paper = h('p', { class: 'paper' });
  /** What each page's figure should show, and shows. @type {WeakMap<Element, {wanted: string, shown: string}>} */
  pages = new WeakMap();
  /** The pages that are in sight, or nearly. @type {Set<Element>} */
  seen = new Set();

  /** @param {Element} at @param {import('./board.js').Board} board */
  constructor(at, board) {
    this.board = board;
    put(at, h('h2', { class: 'aside' }, 'The page that will be printed'), this.note, this.list, this.paper);
    this.sight = new IntersectionObserver((all) => {
      for (const e of all) {
        if (e.isIntersecting) this.seen.add(e.target);
        else this.seen.delete(e.target);
        void this.fetch(e.target);
      }
    }, { root: this.list, rootMargin: '40%' });
  }

  /**
   * Shows the pages of a month as the plan stands, or of a block that the quilt does not have yet. Of a plan that is not made yet
   * there are none, and the former ones stay, faded.
   * @param {number} month @param {string} block @param {number} revision @param {number} stage
   */
  async follow(month, block, revision, stage) {
    const mine = ++this.asked;
    clearTimeout(this.fading);
    if (revision === this.revision) this.list.classList.remove('old');
    else this.fading = setTimeout(() => this.list.classList.add('old'), 400); // not while the sheet is being painted
    if (stage === 0) {
      if (!this.list.childElementCount) this.note.textContent = 'planning …';
      return;
    }
    let answer;
    try {
      answer = await pages(month, block, this.board.query.get('paper') ?? '');
    } catch { return; } // the board says that the server is gone
    if (mine !== this.asked || answer.revision !== revision) return;
    this.note.textContent = answer.why ?? '';
    this.choose(answer.paper);
    if (answer.why) return; // what was there stays, faded
    this.revision = revision;
    this.stage = answer.stage;
    clearTimeout(this.fading);
    this.list.classList.remove('old');
    this.lay(answer.pages, `${month} ${block} ${answer.paper}`);
  }

  /** Lays the pages one under the other; one that was there is changed in its place. @param {Sheet[]} wanted @param {string} what */
  lay(wanted, what) {
    const now = [...this.list.children];
    if (what !== this.what) this.list.scrollTop = 0;
    this.what = what;
    wanted.forEach((p, i) => {
      const figure = /** @type {HTMLElement} */ (now[i] ?? h('figure', { class: 'sheet', 'aria-label': `Page ${i + 1}` }));
      figure.style.aspectRatio = `${p.width} / ${p.height}`;
      const known = this.pages.get(figure);
      this.pages.set(figure, { wanted: p.hash, shown: known?.shown ?? '' });
      if (!now[i]) {
        this.list.append(figure);
        this.sight.observe(figure);
      } else if (this.seen.has(figure)) void this.fetch(figure);
    });
    for (const figure of now.slice(wanted.length)) {
      this.sight.unobserve(figure);
      this.seen.delete(figure);
      figure.remove();
    }
  }

  /** Shows a page that is in sight as it should be. @param {Element} figure */
  async fetch(figure) {
    const { wanted, shown } = this.pages.get(figure) ?? { wanted: '', shown: '' };
    if (wanted === shown || !this.seen.has(figure)) return;
    let drawn;
    try {
      drawn = await page(wanted);
    } catch { return; } // it is another by now, and will be asked for again
    await rest();
    if (this.pages.get(figure)?.wanted !== wanted || this.pages.get(figure)?.shown === wanted) return;
    const svg = new DOMParser().parseFromString(drawn, 'image/svg+xml').documentElement;
    for (const a of ['width', 'height', 'role']) svg.removeAttribute(a);
    for (const e of svg.querySelectorAll('[id^="s"]')) e.removeAttribute('id'); // marks of the outline; names of patterns stay
    figure.replaceChildren(document.importNode(svg, true));
    this.pages.set(figure, { wanted, shown: wanted });
  }

  /** Offers the papers. @param {string} now */
  choose(now) {
    const says = (papers.find(([p]) => p === now) ?? papers[0])[1];
    put(this.paper, value('paper', says, 'Paper', (at) => {
      const close = ask({ title: 'Paper', near: at, body: [choices(papers.map(([p, says]) => ({
        says, chosen: p === now, pick: () => {
          const q = this.board.query;
          q.set('paper', p);
          this.board.note(this.board.placeName, q);
          this.board.look();
        },
      })), () => close())] });
    }));
  }
}

/** Waits until the hand does not need the window. */
function rest() {
  return new Promise((done) => { if ('requestIdleCallback' in window) requestIdleCallback(done, { timeout: 300 }); else setTimeout(done, 30); });
}
