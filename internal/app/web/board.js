// The board: title, places, verdict; the place that the address names; the page beside it. docs/app.md says how a place is added.

import { byId, h, measured, put } from './dom.js';
import { here, listen, post, view } from './talk.js';
import { ask, isOpen } from './ask.js';
import { Printed } from './printed.js';
import { title } from './versions.js';
import draft from './draft.js';
import set from './set.js';
import cut from './cut.js';
import press from './press.js';
import sew from './sew.js';
import book from './book.js';
import cloth from './cloth.js';
import months from './months.js';

/**
 * @typedef {import('./talk.js').Answer} Answer
 * @typedef {import('./talk.js').Op} Op
 *
 * @typedef {object} Place what a module of a place exports
 * @property {string} name as in the address and in the server's list
 * @property {[string, string][]} keys what the place's keys do, for the list of keys
 * @property {(board: Board) => Shown} open
 *
 * @typedef {object} Shown a place that is in sight
 * @property {Element} element
 * @property {(answer: Answer) => void} show shows a view; called after every change too
 * @property {() => number} month whose pages stand beside it; 0 for the whole pattern, -1 for none: the place has the whole width
 * @property {{name: string}|null} [block] that it is about: one that the quilt does not have yet has pages of its own
 * @property {() => void} [close]
 */

const places = new Map([draft, set, cut, press, sew, book, cloth, months].map((p) => [p.name, /** @type {Place} */ (p)]));

/** What the page shows now, and the ways to change it. */
export class Board {
  /** @type {Answer|undefined} */
  answer;
  /** @type {Shown|undefined} */
  shown;
  /** @type {string} */
  placeName = '';
  printed = new Printed(byId('page'), this);
  /** Requests that change something go out one after the other. @type {Promise<unknown>} */
  queue = Promise.resolve();
  /** Whether a view is on its way, and another is wanted after it. */
  looking = false;
  again = false;
  /** From the moment a button, a link or a drawing is pressed until it is let go. @type {Promise<void>|undefined} */
  pressing;
  /** How far the newest plan is that an event told of. */
  heard = { revision: 0, stage: 0 };

  /** What of the place is looked at: the address after the question mark. @returns {URLSearchParams} */
  get query() {
    return new URLSearchParams(location.hash.split('?')[1] ?? '');
  }

  /** Looks at another place, or at something else of this one. @param {string} place @param {Record<string, string>} [query] */
  go(place, query = {}) {
    const q = new URLSearchParams(query), paper = this.query.get('paper');
    if (paper && !q.has('paper')) q.set('paper', paper);
    location.hash = q.size ? `${place}?${q}` : place;
  }

  /**
   * Writes what a place looks at into the address, without going anywhere; not where another place has been gone to meanwhile.
   * @param {string} place @param {URLSearchParams} q
   */
  note(place, q) {
    const now = location.hash.slice(1).split('?')[0] || 'draft';
    const hash = `#${place}${q.size ? `?${q}` : ''}`;
    if (now === place && location.hash !== hash) history.replaceState(null, '', hash);
  }

  /** Resolves when nothing is being pressed: what a press has begun on does not change under it. @returns {Promise<void>} */
  async released() {
    while (this.pressing) await this.pressing;
  }

  /** Shows what the address names. While that is on its way, once more is enough for all who ask. */
  async look() {
    this.again = this.looking;
    if (this.looking) return;
    this.looking = true;
    await this.glance();
    this.looking = false;
    if (this.again) void this.look();
  }

  async glance() {
    const name = location.hash.slice(1).split('?')[0] || 'draft';
    const module = places.get(name) ?? draft;
    try {
      const answer = await view(module.name, this.query);
      await this.released();
      if (this.answer && answer.revision < this.answer.revision) { // a change was made meanwhile, and its answer is shown: perhaps of another place
        await this.queue; // until the disk has it
        this.again = true;
        return;
      }
      if (module.name !== this.placeName) {
        this.shown?.close?.();
        this.placeName = module.name;
        this.shown = module.open(this);
        put(byId('place'), this.shown.element);
      }
      this.show(answer);
      this.follow(answer);
    } catch (e) {
      this.say(`The board cannot be reached: ${e instanceof Error ? e.message : e}`, true);
    }
  }

  /** @param {Answer} answer */
  show(answer) {
    this.answer = answer;
    document.title = `${answer.title} · Quiltwright`;
    put(byId('title'), h('button', { type: 'button', class: 'named', 'data-focus': 'title', title: 'The title, and earlier versions',
      onclick: (/** @type {Event} */ e) => void title(this, /** @type {Element} */ (e.currentTarget)) }, answer.title));
    put(byId('places'), answer.places.map((p) => h('a', {
      href: `#${p.place}${carried(this.query)}`, 'data-focus': p.place, 'aria-current': p.place === answer.place ? 'page' : null,
    }, p.says)));
    put(byId('back'), answer.undo && word('take back', `Take back: ${answer.undo}`, () => void this.undo()),
      answer.redo && word('make again', `Make again: ${answer.redo}`, () => void this.redo()));
    const verdict = byId('verdict');
    verdict.className = answer.verdict.tone;
    put(verdict, measured(answer.verdict.says));
    this.shown?.show(answer);
  }

  /** What follows when the server holds what is shown. @param {Answer} answer */
  follow(answer) {
    const month = this.shown?.month() ?? 0;
    document.body.classList.toggle('wide', month < 0);
    if (month >= 0) void this.printed.follow(month, this.shown?.block?.name ?? '', answer.revision, answer.stage);
    // The event that the plan is ready can come before the answer to the change that it is the plan of.
    if (this.heard.revision === answer.revision && this.heard.stage > answer.stage) void this.look();
  }

  /**
   * Makes changes: one step to take back, however many operations. The answer tells whether they were made; where not, it has been said why.
   * @param {...Op} ops @returns {Promise<boolean>}
   */
  do(...ops) {
    return this.change('/do', { ops });
  }

  undo() { return this.change('/undo', {}); }
  redo() { return this.change('/redo', {}); }

  /** @param {string} path @param {object} what @returns {Promise<boolean>} */
  change(path, what) {
    const show = async (/** @type {Answer} */ answer) => {
      await this.released();
      this.show(answer);
    };
    const run = async () => {
      const before = this.answer;
      if (!before) return false;
      /** @type {Answer} */
      let answer;
      try {
        answer = await post(path, { ...what, revision: before.revision, window: here, place: this.placeName, query: this.query.toString() }, show);
      } catch (e) {
        this.say(`This was not saved: ${e instanceof Error ? e.message : e}`, true);
        if (this.answer !== before) { // it was shown already
          this.answer = before;
          void this.look();
        }
        return false;
      }
      this.follow(answer);
      if (!answer.problem) {
        this.say('');
        return true;
      }
      this.say(sentence(answer.problem), true, answer.conflict ? () => void this.change(path, what) : undefined);
      return false;
    };
    const turn = this.queue.then(run);
    this.queue = turn.catch(() => {});
    return turn;
  }

  /**
   * Says something at the foot of the sheet. @param {string} text @param {boolean} [wrong] @param {() => void} [again]
   */
  say(text, wrong = false, again = undefined) {
    const at = byId('says');
    at.className = wrong ? 'wrong' : '';
    put(at, text && h('p', {}, text,
      again && h('button', { type: 'button', class: 'word', onclick: () => { this.say(''); again(); } }, 'do it again'),
      wrong && h('button', { type: 'button', class: 'word', onclick: () => this.say('') }, 'put away')));
  }

  /** The list of keys. */
  keys() {
    const rows = [...(places.get(this.placeName)?.keys ?? []), ['Ctrl+Z, Ctrl+Shift+Z', 'take back the last change, make it again'],
      ['Tab', 'to the next thing that can be changed'], ['?', 'this list']];
    ask({
      title: 'Keys',
      body: [h('table', {}, h('tbody', {}, rows.map(([key, does]) => h('tr', {}, h('th', { scope: 'row' }, key), h('td', {}, does)))))],
    });
  }
}

/** What is looked at in every place: a block, a piece, a month. @param {URLSearchParams} query */
function carried(query) {
  const q = new URLSearchParams([...query].filter(([k]) => ['block', 'piece', 'month', 'paper'].includes(k)));
  return q.size ? `?${q}` : '';
}

/** @param {string} says @param {string} title @param {() => void} act */
function word(says, title, act) {
  return h('button', { type: 'button', class: 'word', title, 'data-focus': says, onclick: act }, says);
}

/** @param {string} text */
function sentence(text) {
  const t = text.replace(/^[a-z -]+: /, '');
  return t.charAt(0).toUpperCase() + t.slice(1) + (/[.?!]$/.test(t) ? '' : '.');
}

const board = new Board();
Object.assign(window, { quiltwright: board }); // for the tests, and for the curious

addEventListener('hashchange', () => void board.look());

addEventListener('keydown', (e) => {
  if (isOpen() || e.defaultPrevented) return;
  const typing = e.target instanceof HTMLInputElement || e.target instanceof HTMLTextAreaElement;
  const key = e.key.toLowerCase();
  if ((e.ctrlKey || e.metaKey) && !typing && (key === 'z' || key === 'y')) {
    e.preventDefault();
    void (key === 'y' || e.shiftKey ? board.redo() : board.undo());
  } else if (key === '?' && !typing) {
    e.preventDefault();
    board.keys();
  } else if (key === 'escape') {
    slide(false);
  }
});

addEventListener('pointerdown', (e) => {
  if (!(e.target instanceof Element && e.target.closest('button, a, #place svg'))) return;
  const letGo = new AbortController(), { signal } = letGo;
  board.pressing = new Promise((done) => {
    // The click comes after the pointer is up, and is let through first.
    const end = (/** @type {Event} */ e) => {
      if (e.type === 'blur' && e.target !== window) return; // what had the focus loses it to what is pressed
      letGo.abort();
      setTimeout(() => { board.pressing = undefined; done(); });
    };
    for (const kind of ['pointerup', 'pointercancel', 'blur', 'dragend']) addEventListener(kind, end, { signal, capture: true });
  });
}, true);

const turn = byId('turn');
/** On a narrow window the page slides over the sheet. @param {boolean} over */
function slide(over) {
  document.body.classList.toggle('over', over);
  turn.setAttribute('aria-expanded', String(over));
}
turn.addEventListener('click', () => slide(!document.body.classList.contains('over')));

let away = false;
listen((e) => {
  if (!board.answer) return;
  const behind = e.revision !== board.answer.revision;
  if (e.kind === 'plan') {
    board.heard = { revision: e.revision, stage: e.stage };
    if (!behind) void board.look();
  }
  if (e.kind === 'hello' && behind) void board.look();
  if ((e.kind === 'changed' || e.kind === 'outside') && e.window !== here && behind) {
    board.say(e.kind === 'outside' ? 'The file was changed by another program; this is how it stands now.' : 'Another window changed the quilt; this is how it stands now.');
    void board.look();
  }
}, (lost) => {
  if (lost && !away) board.say('The board’s program does not answer. Nothing is lost: what was shown is saved. Run quiltwright open again if it was ended.', true);
  if (!lost && away) board.say('');
  away = lost;
});

void board.look();
