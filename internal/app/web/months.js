// Months: blocks are dragged onto months; what each month needs follows. The writer's own words for quilt, blocks and months.

import { ask, choices, line, value } from './ask.js';
import { h, measured, put, s } from './dom.js';
import { cost, findings, link, look, upper, word } from './plan.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'months',
  keys: [['Alt + up, Alt + down', 'on a block: into the month before, into the next'], ['Enter', 'on a block: choose its month from a list'], ['Delete', 'on a block: out of its month']],
  open: (board) => new Months(board),
};

class Months {
  /** @type {any} */ view = null;
  element = h('section', { class: 'stay months', 'aria-label': 'Months' });
  /** @type {number|undefined} the revision that done speaks of */ doneAt;
  done = h('p', { class: 'doing', 'aria-live': 'polite' }, 'Drag a block onto a month, or choose it.');

  /** @param {Board} board */
  constructor(board) {
    this.board = board;
  }

  month() {
    const n = Number(this.board.query.get('month') ?? 0);
    return this.view && n <= this.view.programme.length ? n : 0;
  }

  /** @param {Answer} answer */
  show(answer) {
    const v = this.view = answer.view;
    if (answer.revision !== this.doneAt) this.done.textContent = 'Drag a block onto a month, or choose it.';
    put(this.element,
      h('div', { class: 'top' }, h('div', { class: 'values' }, h('strong', {}, v.programme.length ? `${v.programme.length} months` : 'No months: everything is made at once')),
        v.programme.length > 0 && this.done),
      findings(v.found),
      v.programme.length > 0 && v.waiting.length > 0 && h('div', { class: 'waiting', 'data-month': '0' }, h('p', {}, 'No month makes these yet:'), h('div', { class: 'chips' }, v.waiting.map((/** @type {any} */ b, /** @type {number} */ i) => this.chip(b, 0, i)))),
      h('ol', { class: 'programme' }, v.programme.map((/** @type {any} */ m) => this.row(m))),
      h('p', { class: 'next' }, v.programme.length ? word('add a month', () => this.add()) : v.waiting.length ? ['The quilt can be sewn as a programme. ', word('make it a programme of months', () => this.begin())] : 'A quilt of one block has no programme.'),
      this.notes(), cost(v, this.board));
  }

  /** @param {any} m */
  row(m) {
    const here = this.month() === m.number, last = this.view.programme.length;
    const put = (/** @type {string} */ key, /** @type {any} */ to) => void this.board.do(to === '' || to === false ? { do: 'drop', at: ['months', m.number, key] } : { do: 'put', at: ['months', m.number, key], value: to });
    return h('li', { class: `month${here ? ' here' : ''}`, 'data-month': String(m.number) },
      h('div', { class: 'titles' }, h('span', { class: 'number' }, String(m.number)),
        value(`title ${m.number}`, h('strong', {}, m.title), `Title of month ${m.number}`, (at) => this.text(at, `Title of month ${m.number}`, m.title, (t) => t && put('title', t))),
        value(`opens ${m.number}`, m.opens ? date(m.opens) : 'no date', `Month ${m.number} opens`, (at) => this.text(at, 'Opens, as in 2027-01-08', m.opens, (t) => { if (t !== m.opens) put('opens', t); })),
        value(`tasks ${m.number}`, tasks(m), `What else month ${m.number} does`, (at) => this.tasks(at, m, put)),
        here ? word('the whole pattern', () => look(this.board, { month: null }), `page ${m.number}`) : word('its pages', () => look(this.board, { month: String(m.number) }), `page ${m.number}`),
        m.needs.length > 0 && link('cut', { month: String(m.number) }, 'cut'), m.needs.length > 0 && link('sew', { month: String(m.number) }, 'sew'),
        word('change', () => this.change(m, last), `change ${m.number}`)),
      h('div', { class: 'chips' }, m.blocks.map((/** @type {any} */ b, /** @type {number} */ i) => this.chip(b, m.number, i))),
      m.needs.length > 0 && h('p', { class: 'dim' }, m.needs.flatMap((/** @type {string} */ t, /** @type {number} */ i) => measured(i ? ` · ${t}` : upper(t)))),
      m.note && h('p', { class: 'note' }, value(`note ${m.number}`, m.note, `Note of month ${m.number}`, () => this.note(`Note of month ${m.number}`, ['months', String(m.number), 'note'], m.note))));
  }

  /** A block that can be dragged onto another month. @param {any} b @param {number} from @param {number} i */
  chip(b, from, i) {
    const picture = s('svg', { viewBox: `0 0 1 ${1 / b.shape}`, 'aria-hidden': 'true' }, ...b.patches.map((/** @type {any} */ p) => s('polygon', { points: p.points, fill: p.color })));
    const says = b.count > 1 ? `${b.says} × ${b.count}` : b.says;
    const chip = h('button', { type: 'button', class: 'chip', 'data-focus': `block ${variant(b)} ${from}`, 'data-block': b.block, 'aria-label': `${says}, ${from ? `made in month ${from}` : 'in no month'}` }, picture, says);
    let began = /** @type {{x: number, y: number, ghost: HTMLElement|null}|null} */ (null);
    const end = () => { began?.ghost?.remove(); began = null; this.element.querySelectorAll('.onto').forEach((e) => e.classList.remove('onto')); };
    const under = (/** @type {PointerEvent} */ e) => /** @type {HTMLElement|null} */ (document.elementFromPoint(e.clientX, e.clientY)?.closest('[data-month]') ?? null);
    let dragged = false;
    chip.addEventListener('pointerdown', (e) => {
      if (e.button !== 0) return;
      began = { x: e.clientX, y: e.clientY, ghost: null };
      dragged = false;
      chip.setPointerCapture(e.pointerId);
    });
    chip.addEventListener('pointermove', (e) => {
      if (!began) return;
      if (!began.ghost && Math.hypot(e.clientX - began.x, e.clientY - began.y) < 6) return;
      if (!began.ghost) {
        began.ghost = /** @type {HTMLElement} */ (chip.cloneNode(true));
        began.ghost.classList.add('ghost');
        began.ghost.removeAttribute('data-focus');
        this.element.append(began.ghost);
        dragged = true;
      }
      began.ghost.style.transform = `translate(${e.clientX + 8}px, ${e.clientY + 8}px)`;
      const to = under(e);
      for (const row of this.element.querySelectorAll('[data-month]')) row.classList.toggle('onto', row === to);
    });
    chip.addEventListener('pointerup', (e) => {
      const to = began?.ghost ? under(e) : null;
      end();
      if (to && Number(to.dataset.month) !== from) this.move(b, from, Number(to.dataset.month));
    });
    chip.addEventListener('pointercancel', end);
    chip.addEventListener('click', () => { if (!dragged) this.choose(b, from, chip); dragged = false; });
    chip.addEventListener('keydown', (e) => {
      const to = e.altKey && e.key === 'ArrowUp' ? from - 1 : e.altKey && e.key === 'ArrowDown' ? from + 1 : e.key === 'Delete' && from ? 0 : -1;
      if (to < 0 || to > this.view.programme.length || to === from) return;
      e.preventDefault();
      void this.move(b, from, to);
    });
    return chip;
  }

  /** Lets another month make the block; the focus stays on it. @param {any} b @param {number} from @param {number} to @param {number} [count] */
  async move(b, from, to, count = 0) {
    /** @type {any} */
    const op = { do: 'move to month', block: b.block, recolor: b.recolor, mirror: b.mirror, from, to, count: count || b.count };
    if (!await this.board.do(op)) return;
    const chip = this.element.querySelector(`[data-focus="${CSS.escape(`block ${variant(b)} ${to}`)}"]`);
    if (chip instanceof HTMLElement) chip.focus();
    this.doneAt = this.board.answer?.revision;
    this.done.textContent = to ? `${b.says} is made in month ${to}, ${this.view.programme[to - 1].title}.` : `No month makes ${b.says}.`;
  }

  /** @param {any} b @param {number} from @param {Element} at */
  choose(b, from, at) {
    const all = (/** @type {number} */ count) => choices([...this.view.programme.filter((/** @type {any} */ m) => m.number !== from).map((/** @type {any} */ m) => ({ says: `${m.number}: ${m.title}`, pick: () => void this.move(b, from, m.number, count) })),
      ...(from ? [{ says: 'no month', pick: () => void this.move(b, from, 0, count) }] : [])], () => close());
    const close = ask({ title: `${b.says}: made in`, near: at, body: b.count > 1 ? [h('h3', {}, `All ${b.count}`), all(b.count), h('h3', {}, 'One of them'), all(1)] : [all(b.count)] });
  }

  /** @param {Element} at @param {string} label @param {string} now @param {(text: string) => void} done */
  text(at, label, now, done) {
    const close = ask({ title: label, near: at, body: [line({ label, value: now, word: 'set', done }, () => close())] });
  }

  /** @param {Element} at @param {any} m @param {(key: string, to: any) => void} put */
  tasks(at, m, put) {
    const close = ask({ title: `Month ${m.number}`, near: at, body: [choices([
      { says: m.set ? 'it no longer sews the blocks together' : 'it sews the blocks together', pick: () => this.only(m, 'set', put) },
      { says: m.finish ? 'it no longer quilts and binds' : 'it quilts and binds', pick: () => this.only(m, 'finish', put) },
    ], () => close())] });
  }

  /** One month sets the top, and one finishes it: the month that did so before does no longer. @param {any} m @param {string} key @param {(key: string, to: any) => void} put */
  only(m, key, put) {
    if (m[key]) {
      put(key, false);
      return;
    }
    const before = this.view.programme.filter((/** @type {any} */ n) => n[key]);
    void this.board.do(...before.map((/** @type {any} */ n) => ({ do: 'drop', at: ['months', n.number, key] })), { do: 'put', at: ['months', m.number, key], value: true });
  }

  /** @param {any} m @param {number} last */
  change(m, last) {
    const move = (/** @type {number} */ before) => void this.board.do({ do: 'move month', month: m.number, before });
    const close = ask({ title: `Month ${m.number}: ${m.title}`, body: [choices([
      { says: m.note ? 'change its note' : 'write a note', pick: () => this.note(`Note of month ${m.number}`, ['months', String(m.number), 'note'], m.note) },
      ...(m.number > 1 ? [{ says: 'one month earlier', pick: () => move(m.number - 1) }] : []),
      ...(m.number < last ? [{ says: 'one month later', pick: () => move(m.number + 2 > last ? 0 : m.number + 2) }] : []),
      { says: 'add a month before it', pick: () => this.add(m.number) },
      { says: 'remove it', pick: () => void this.board.do({ do: 'remove month', month: m.number }) },
    ], () => close())] });
  }

  /** @param {number} [before] */
  add(before) {
    const close = ask({ title: 'Add a month', body: [line({ label: 'Its title', value: `Month ${this.view.programme.length + 1}`, word: 'add', done: (title) => {
      if (title) void this.board.do({ do: 'add month', title, ...(before ? { before } : {}) });
    } }, () => close())] });
  }

  /** Two months to begin with: one that makes every block, one that sews them together. */
  begin() {
    void this.board.do({ do: 'add month', title: 'The blocks' }, { do: 'add month', title: 'The top' }, { do: 'put', at: ['months', 2, 'set'], value: true },
      ...this.view.waiting.map((/** @type {any} */ b) => ({ do: 'move to month', block: b.block, recolor: b.recolor, mirror: b.mirror, to: 1, count: b.count })));
  }

  /** The writer's words for the quilt and its blocks. */
  notes() {
    const v = this.view;
    return h('section', { class: 'notes', 'aria-label': 'Notes' }, h('h2', {}, 'Your own words'),
      h('p', {}, h('b', {}, 'The quilt '), value('note of the quilt', v.note.text || 'nothing yet', 'Note of the quilt', () => this.note('Note of the quilt', ['note'], v.note.text))),
      v.notes.map((/** @type {any} */ n) => h('p', {}, h('b', {}, `${n.of} `), value(`note of ${n.of}`, n.text || 'nothing yet', `Note of ${n.of}`, () => this.note(`Note of ${n.of}`, ['blocks', n.of, 'note'], n.text)))));
  }

  /** @param {string} title @param {string[]} at @param {string} now */
  note(title, at, now) {
    const text = /** @type {HTMLTextAreaElement} */ (h('textarea', { rows: '6', autofocus: true, 'aria-label': title }));
    text.value = now;
    const save = () => {
      close();
      const to = text.value.trim();
      if (to !== now.trim()) void this.board.do(to ? { do: 'put', at, value: to } : { do: 'drop', at });
    };
    const close = ask({ title, body: [h('form', { onsubmit: (/** @type {Event} */ e) => { e.preventDefault(); save(); } }, text, h('button', { class: 'word' }, 'write it'))] });
    text.addEventListener('keydown', (e) => { if (e.key === 'Enter' && (e.ctrlKey || e.metaKey)) save(); });
  }
}

/** @param {any} b */
function variant(b) { return `${b.block} ${b.mirror} ${JSON.stringify(b.recolor)}`; }

/** @param {any} m */
function tasks(m) { return m.set && m.finish ? 'sews the top, quilts and binds' : m.set ? 'sews the top' : m.finish ? 'quilts and binds' : 'blocks only'; }

/** 2027-01-08 as one reads it. @param {string} text */
function date(text) {
  const d = new Date(`${text}T12:00:00`);
  return Number.isNaN(d.getTime()) ? text : `opens ${d.getDate()} ${['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'][d.getMonth()]} ${d.getFullYear()}`;
}
