// Set: blocks are laid into the quilt. What goes round and between them stands beside it as values that are clicked.

import { ask, choices, line } from './ask.js';
import { h, measured, put } from './dom.js';
import { Lay } from './lay.js';
import { Parts } from './parts.js';
import { Photographs } from './photograph.js';
import { listenForPieces, litBeside, litKeys } from './plan.js';
import { inside, field, small, swatch } from './quilt.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */
/** @typedef {import('./talk.js').Op} Op */

/** @type {import('./board.js').Place} */
export default {
  name: 'set',
  keys: [
    ['arrows', 'on the quilt: from field to field'],
    ['1 to 9, 0', 'take a block in hand, put it down'],
    ['Enter or space', 'lays the block in hand here; with empty hands, what can be done here'],
    ['T, Shift+T', 'turns what stands here a quarter to the right, to the left'],
    ['M, Shift+M', 'mirrors it left to right, top to bottom'],
    ['X', 'picks it up: arrows and Enter choose what it changes places with'],
    ['C', 'recolors it'],
    ['E', 'exchanges all of this block for another'],
    ['R, Shift+R', 'adds a row below, removes this row'],
    ['K, Shift+K', 'adds a column to the right, removes this column'],
    ['Escape', 'puts down what is in hand; leaves the field'],
    litKeys,
  ],
  open: (board) => new SetPlace(board),
};

class SetPlace {
  /** @type {any} */ view = null;
  /** The view that is shown, to know another by. */ text = '';
  photographs = new Photographs(() => {
    this.text = '';
    if (this.element.isConnected && this.board.answer) this.show(this.board.answer);
  });

  /** @param {Board} board */
  constructor(board) {
    this.board = board;
    this.lay = new Lay({
      lay: (cells) => void board.do(...once(cells).map(([row, column]) => ({ do: 'put cell', row, column, cell: this.lay.hand }))),
      exchange: (a, b) => void board.do({ do: 'exchange cells', row: a[0], column: a[1], withRow: b[0], withColumn: b[1] }),
      key: (key) => this.key(key),
      say: (text) => { this.doing.textContent = text; },
      changed: () => this.rest(),
    });
    this.parts = new Parts(board, this);
    this.head = h('div', { class: 'values' });
    this.doing = h('p', { id: 'doing', class: 'doing', 'aria-live': 'polite' });
    this.list = h('div', { class: 'blocks', role: 'group', 'aria-label': 'Blocks to lay' });
    this.next = h('p', { class: 'next' });
    this.found = h('ol', { class: 'found', 'aria-label': 'To mend' });
    this.lit = h('div', { class: 'lit-room' });
    this.element = h('section', { class: 'stay set', 'aria-label': 'Set' }, h('div', { class: 'top' }, this.head, this.doing),
      h('div', { class: 'middle' }, h('div', { class: 'room' }, this.lay.svg), this.parts.element), this.lit, this.list, this.next, this.found);
    this.close = listenForPieces(board, this.element, () => this.view);
  }

  month() { return this.view?.month ?? 0; }

  /** @param {Answer} answer */
  show(answer) {
    const v = this.view = answer.view, q = this.board.query, at = this.lay.fields[this.lay.at], text = JSON.stringify(v);
    // A plan that comes later changes nothing here: what is under the pointer stays.
    if (text === this.text && (q.get('hand') ?? '') === this.lay.hand && (q.get('at') ?? '') === (at ? `${at.row},${at.column}` : '')) return;
    this.text = text;
    this.lay.hand = v.blocks.some((/** @type {any} */ b) => b.name === q.get('hand') && b.size) ? q.get('hand') ?? '' : '';
    const near = v.findings.filter((/** @type {any} */ f) => f.row);
    this.photographs.want(v.fabrics);
    this.lay.show(v.top, near, this.photographs.fills(v.fabrics, 'set', v.measure), v.lit ?? []);
    litBeside(this.lit, v, this.board);
    this.lay.chooseAt(q.get('at') ?? '');
    this.lay.tell();
    put(this.head,
      h('strong', {}, v.laid ? rows(v) : 'one block'),
      v.size ? h('span', {}, measured(v.size), ' finished') : v.laid && h('span', {}, 'does not fit together yet'));
    this.parts.show(v);
    put(this.found, near.concat(v.findings.filter((/** @type {any} */ f) => !f.row)).map((/** @type {any} */ f) => h('li', { class: `${f.severity}${f.row ? '' : ' nowhere'}` },
      upper(f.says), f.remedy && h('span', { class: 'remedy' }, ` ${upper(f.remedy)}.`))),
    v.mend.map((/** @type {string} */ name) => h('li', { class: 'error nowhere' }, `Something is to be mended in ${name}. `, this.word(`look at ${name}`, () => this.board.go('draft', { block: name })))));
    this.rest();
  }

  /** What changes with the hand. */
  rest() {
    const v = this.view, q = this.board.query;
    const at = this.lay.fields[this.lay.at];
    if (at) q.set('at', `${at.row},${at.column}`);
    else q.delete('at');
    if (this.lay.hand) q.set('hand', this.lay.hand);
    else q.delete('hand');
    this.board.note('set', q);
    put(this.list, v.blocks.map((/** @type {any} */ b, /** @type {number} */ i) => this.block(b, i)));
    put(this.next, ...this.words());
  }

  /** A block in the list: taken in hand by a click, or dragged into the quilt. @param {any} b @param {number} i */
  block(b, i) {
    const color = (/** @type {number} */ f) => this.view.fabrics[f]?.color ?? '';
    let dragged = false;
    /** @type {HTMLElement|null} */ let ghost = null;
    /** @type {{x: number, y: number}|null} */ let from = null;
    const over = (/** @type {PointerEvent} */ e) => {
      const box = this.lay.svg.getBoundingClientRect();
      return e.clientX >= box.left && e.clientX <= box.right && e.clientY >= box.top && e.clientY <= box.bottom ? this.lay.under(e) : -1;
    };
    const end = () => {
      ghost?.remove();
      ghost = from = null;
      this.lay.over = -1;
      this.lay.paint();
    };
    const button = h('button', {
      type: 'button', class: `block${b.size ? '' : ' dim'}`, 'data-focus': `block ${b.name}`, 'aria-pressed': String(this.lay.hand === b.name),
      'aria-label': `${b.name}${b.size ? b.placed ? ` × ${b.placed} in the quilt` : '' : ' no size yet'}${b.size && `, ${b.size}`}${i < 9 ? `, key ${i + 1}` : ''}`,
      onclick: () => { if (dragged) dragged = false; else this.take(b); },
      onpointerdown: (/** @type {PointerEvent} */ e) => {
        dragged = false;
        if (e.button !== 0 || !b.size) return;
        from = { x: e.clientX, y: e.clientY };
        button.setPointerCapture(e.pointerId);
      },
      onpointermove: (/** @type {PointerEvent} */ e) => {
        if (!from || (!ghost && Math.hypot(e.clientX - from.x, e.clientY - from.y) <= 6)) return;
        if (!ghost) document.body.append(ghost = h('div', { class: 'carried', 'aria-hidden': 'true' }, small(b.drawn, color)));
        ghost.style.left = `${e.clientX}px`;
        ghost.style.top = `${e.clientY}px`;
        dragged = true;
        this.lay.over = over(e);
        this.lay.paint();
        this.lay.hands.say(this.lay.over >= 0 ? `lays ${b.name} on ${this.lay.name(this.lay.over)}` : `laying ${b.name}`);
      },
      onpointerup: (/** @type {PointerEvent} */ e) => {
        const onto = ghost ? over(e) : -1, cell = this.lay.fields[onto]?.of, carried = Boolean(ghost);
        end();
        if (cell) void this.board.do({ do: 'put cell', row: cell[0], column: cell[1], cell: b.name });
        else if (carried && !this.view.laid && this.onQuilt(e)) this.parts.lay(b.name);
      },
      onpointercancel: end,
    }, small(b.drawn, color), h('span', {}, b.name, h('span', { class: 'dim' }, b.size ? b.placed ? ` × ${b.placed}` : '' : ' no size')));
    return button;
  }

  /** Whether a pointer is on the one block that the quilt is. @param {PointerEvent} e */
  onQuilt(e) {
    const p = this.view.top.placed[0], [x, y] = this.lay.place(e);
    return p !== undefined && inside(field(this.view.top, p), x, y);
  }

  /** Takes a block in hand, or puts it down. @param {any} b */
  take(b) {
    if (!b.size) {
      const close = ask({ title: `${b.name} has no size yet`, body: [line({
        label: `Finished size, in ${this.view.measure === 'cm' ? 'centimetres' : 'inches'}`, value: '12', word: 'set',
        done: (size) => void this.board.do({ do: 'set size', block: b.name, size: size.split(/\s*[x×]\s*/) }),
      }, () => close())] });
      return;
    }
    this.hold(this.lay.hand === b.name ? '' : b.name);
    if (!this.view.laid && this.lay.hand) this.parts.lay(b.name);
  }

  /** @param {string} name */
  hold(name) {
    this.lay.hand = name;
    this.lay.drop();
    this.lay.tell();
    this.rest();
  }

  /** @param {string} says @param {() => void} act */
  word(says, act) {
    return h('button', { type: 'button', class: 'word', 'data-focus': says, onclick: act }, says);
  }

  /** What can be done next. */
  words() {
    const v = this.view, lay = this.lay, word = this.word.bind(this);
    const sized = v.blocks.filter((/** @type {any} */ b) => b.size);
    if (!v.blocks.length) return ['There is no block to lay yet. ', word('draw a block', () => this.board.go('draft'))];
    if (!v.laid && !sized.length) return [`${v.blocks[0].name} has no size yet. `, word('give it a size', () => this.take(v.blocks[0]))];
    if (!v.laid) {
      const name = lay.hand || sized[0].name;
      const of = (/** @type {number} */ r, /** @type {number} */ c) => word(`${r} rows of ${c}`, () => void this.board.do({ do: 'lay rows', rows: r, columns: c, cell: name }));
      return [`The quilt is one block so far. Lay ${name} in `, of(2, 2), of(3, 3), of(5, 4), 'or ', word('other rows', () => this.parts.lay(name)),
        sized.length > 1 ? 'Other blocks take their places afterwards.' : 'More blocks are drawn under Draft.'];
    }
    if (lay.grabbed >= 0) return ['Point at the block that changes places with it. ', word('leave it', () => lay.release())];
    if (lay.hand) return [`Point at a field to lay ${lay.hand} there, or drag across several. `, word('put it down', () => this.hold(''))];
    if (!lay.cell) return ['Point at a field to change it, drag a block onto another to change their places, or take a block from the list. ', word('keys', () => this.board.keys())];
    const at = lay.fields[lay.at];
    return [h('span', {}, `${upper(lay.name(lay.at))}. `), ...this.acts().map((a) => word(a.says, a.pick)), at.row !== at.of[0] || at.column !== at.of[1] ? 'It repeats what stands further up.' : ''];
  }

  /** What can be done with the chosen field. @returns {{says: string, pick: () => void}[]} */
  acts() {
    const cell = this.lay.cell;
    if (!cell) return [];
    const f = this.view.fields[cell[0] - 1][cell[1] - 1];
    return [
      { says: 'turn', pick: () => this.key('t') },
      { says: 'mirror', pick: () => this.key('m') },
      { says: 'change places', pick: () => this.lay.grab() },
      { says: 'lay another', pick: () => this.another() },
      { says: 'recolor', pick: () => this.recolor() },
      ...(f.block ? [{ says: `all of ${f.block} for another`, pick: () => this.exchange() }, { says: 'draw it', pick: () => this.board.go('draft', { block: f.block }) }] : []),
      { says: 'rows and columns', pick: () => this.rows() },
    ];
  }

  /** @param {string} key */
  key(key) {
    const v = this.view, cell = this.lay.cell;
    if (/^[1-9]$/.test(key) && v.blocks[Number(key) - 1]) this.take(v.blocks[Number(key) - 1]);
    else if (key === '0' || key === 'Escape' && this.lay.hand) this.hold('');
    else if (!cell) return false;
    else if (key === 'Enter' || key === ' ') this.all();
    else {
      const [row, column] = cell;
      /** @type {Record<string, () => void>} */
      const does = {
        t: () => void this.board.do({ do: 'turn cell', row, column, by: 90 }),
        T: () => void this.board.do({ do: 'turn cell', row, column, by: 270 }),
        m: () => void this.board.do({ do: 'mirror cell', row, column }),
        M: () => void this.board.do({ do: 'mirror cell', row, column, upside: true }),
        c: () => this.recolor(), e: () => this.exchange(),
        r: () => void this.board.do({ do: 'add row', before: row < v.rows ? row + 1 : 0 }),
        R: () => void this.board.do({ do: 'remove row', row }),
        k: () => void this.board.do({ do: 'add column', before: column < v.columns ? column + 1 : 0 }),
        K: () => void this.board.do({ do: 'remove column', column }),
      };
      if (!does[key]) return false;
      does[key]();
    }
    return true;
  }

  /** All that can be done with a field, as a list. */
  all() {
    const close = ask({ title: upper(this.lay.name(this.lay.at)), body: [choices(this.acts(), () => close())] });
  }

  another() {
    const [row, column] = this.lay.cell ?? [0, 0], f = this.view.fields[row - 1][column - 1];
    const lay = (/** @type {string} */ cell) => void this.board.do({ do: 'put cell', row, column, cell });
    const close = ask({ title: `Row ${row}, column ${column}`, body: [
      choices(this.blocks(f.block, lay), () => close()), h('hr'),
      line({ label: 'Or in the words of the format', value: f.cell, word: 'lay', done: lay }, () => close()),
    ] });
  }

  /** The blocks that can be laid. @param {string} now @param {(name: string) => void} pick */
  blocks(now, pick) {
    const color = (/** @type {number} */ f) => this.view.fabrics[f]?.color ?? '';
    return this.view.blocks.filter((/** @type {any} */ b) => b.size).map((/** @type {any} */ b) => ({
      says: [small(b.drawn, color), ' ', b.name, h('span', { class: 'dim' }, ' ', ...measured(b.size))], chosen: b.name === now, pick: () => pick(b.name),
    }));
  }

  exchange() {
    const [row, column] = this.lay.cell ?? [0, 0], from = this.view.fields[row - 1][column - 1].block;
    if (!from) return;
    const close = ask({ title: `For all of ${from} lay`, body: [choices(
      this.blocks(from, (to) => void this.board.do({ do: 'exchange block', from, to })).filter((/** @type {any} */ c) => !c.chosen), () => close())] });
  }

  recolor() {
    const [row, column] = this.lay.cell ?? [0, 0], f = this.view.fields[row - 1][column - 1];
    const named = (/** @type {string} */ l) => this.view.fabrics.find((/** @type {any} */ x) => x.letter === l);
    const close = ask({ title: `Recolor ${f.block || f.cell} in row ${row}, column ${column}`, body: [
      choices(f.letters.map(named).filter(Boolean).map((/** @type {any} */ x) => {
        const to = named(f.recolor[x.letter] ?? '');
        return { says: [swatch((to ?? x).color), ` ${x.letter} ${x.name}`, to && h('span', { class: 'dim' }, ` is ${to.letter} ${to.name} here`)], pick: () => this.recolorTo(x) };
      }), () => close()),
      Object.keys(f.recolor).length > 0 && choices([{ says: 'as the block is', pick: () => void this.board.do({ do: 'recolor cell', row, column, recolor: {} }) }], () => close()),
    ] });
  }

  /** @param {any} from */
  recolorTo(from) {
    const [row, column] = this.lay.cell ?? [0, 0], f = this.view.fields[row - 1][column - 1];
    const close = ask({ title: `For ${from.letter} ${from.name} take`, body: [choices(this.view.fabrics.map((/** @type {any} */ x) => ({
      says: [swatch(x.color), ` ${x.letter} ${x.name}`], chosen: x.letter === (f.recolor[from.letter] ?? from.letter),
      pick: () => void this.board.do({ do: 'recolor cell', row, column, recolor: { ...f.recolor, [from.letter]: x.letter } }),
    })), () => close())] });
  }

  rows() {
    const [row, column] = this.lay.cell ?? [0, 0], pairs = this.view.style === 'on point';
    const close = ask({ title: 'Rows and columns', body: [choices([
      { says: pairs ? 'two more rows above' : 'another row above', pick: () => void this.board.do({ do: 'add row', before: row }) },
      { says: pairs ? 'two more rows below' : 'another row below', pick: () => this.key('r') },
      { says: 'another column to the left', pick: () => void this.board.do({ do: 'add column', before: column }) },
      { says: 'another column to the right', pick: () => this.key('k') },
      { says: pairs ? 'without this row and the next' : 'without this row', pick: () => this.key('R') },
      { says: 'without this column', pick: () => this.key('K') },
    ], () => close())] });
  }
}

/** Each cell once: what is repeated is one cell. @param {[number, number][]} cells */
function once(cells) {
  return [...new Map(cells.map((c) => [c.join(), c])).values()];
}

/** @param {any} v */
export function rows(v) {
  const long = v.style === 'on point' ? (v.rows + 1) / 2 : v.rows;
  const says = `${long} ${long === 1 ? 'row' : 'rows'} of ${v.columns}`;
  return v.style === 'on point' ? `${says}, on point` : says;
}

/** @param {string} text */
export function upper(text) { return text.charAt(0).toUpperCase() + text.slice(1); }
