// Draft: a block is drawn. Values are text that is clicked; what can be done next is said under the sheet.

import { ask, choices, line, value } from './ask.js';
import { h, measured, put } from './dom.js';
import { listenForPieces, litBeside, litKeys } from './plan.js';
import { Sheet } from './sheet.js';
import { read } from './talk.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'draft',
  keys: [
    ['arrows', 'on the sheet: from point to point; with a fabric in hand from patch to patch'],
    ['Shift + arrows', 'by half a step'],
    ['Enter or space', 'begins a line, goes on with it, and ends it where it is pressed twice; fills a patch'],
    ['Backspace, Escape', 'takes the last point back; drops what was begun'],
    ['X', 'to the next point where lines meet off the grid; with Shift to the one before'],
    ['1 to 9', 'take a fabric in hand'],
    ['0 or L', 'put it down and draw lines'],
    ['N, P', 'choose the next or the former line'],
    ['. and ,', 'the next or the former point of the chosen line; arrows and Enter move it'],
    ['Delete', 'removes the chosen line'],
    litKeys,
  ],
  open: (board) => new Draft(board),
};

class Draft {
  /** @type {any} */ view = null;
  /** Whether a line is begun, as what can be done next says. */ running = false;

  /** @param {Board} board */
  constructor(board) {
    this.board = board;
    this.sheet = new Sheet({
      draw: (points) => void board.do({ do: 'draw line', block: this.block.name, points }),
      fill: (patches) => this.fill(patches),
      move: (l, p, to) => void board.do({ do: 'move point', block: this.block.name, line: l + 1, point: p + 1, to }),
      remove: (l) => { this.sheet.choose(-1); void board.do({ do: 'remove line', block: this.block.name, line: l + 1 }); },
      cell: (row, column) => this.cell(row, column),
      say: (text) => {
        this.doing.textContent = text;
        if (this.running !== this.sheet.run.length > 0) put(this.next, ...this.words());
      },
      changed: () => this.rest(),
    });
    this.head = h('div', { class: 'values' });
    this.doing = h('p', { id: 'doing', class: 'doing', 'aria-live': 'polite' });
    this.cloth = h('div', { class: 'fabrics', role: 'group', 'aria-label': 'Fabrics' });
    this.next = h('p', { class: 'next' });
    this.found = h('ol', { class: 'found', 'aria-label': 'To mend' });
    this.bare = h('div', { class: 'bare' });
    this.lit = h('div', { class: 'lit-room' });
    this.element = h('section', { class: 'stay draft', 'aria-label': 'Draft' }, h('div', { class: 'top' }, this.head, this.doing),
      this.bare, h('div', { class: 'middle' }, this.sheet.svg), this.lit, this.cloth, this.next, this.found);
    this.close = listenForPieces(board, this.element, () => this.view);
  }

  get block() { return this.view?.block ?? null; }

  month() { return this.block?.month ?? 0; }

  /** @param {Answer} answer */
  show(answer) {
    this.view = answer.view;
    const b = this.view.block;
    this.element.classList.toggle('none', !b);
    put(this.bare, !b && this.view.wrong.length > 0 && [h('p', {}, 'The file cannot be read as it stands. Mend it in a text editor, or press its name above and take an earlier version back:'),
      h('ol', { class: 'found' }, this.view.wrong.map((/** @type {any} */ f) => h('li', { class: f.severity }, f.line ? `line ${f.line}: ` : '', f.says, f.remedy && `; ${f.remedy}`)))],
    !b && !this.view.wrong.length && h('p', {}, 'This quilt has no block yet. ', h('button', { type: 'button', class: 'word', onclick: () => this.add() }, 'Begin a block')));
    if (!b) {
      put(this.head);
      return;
    }
    const hand = this.board.query.get('hand') ?? '';
    if (hand !== this.sheet.hand) this.sheet.hand = this.view.fabrics.some((/** @type {any} */ f) => f.letter === hand) ? hand : '';
    this.sheet.show(b, this.view.fabrics);
    litBeside(this.lit, this.view, this.board);
    put(this.head,
      value('name', h('strong', {}, b.name), 'Block', (at) => this.blocks(at)),
      value('size', measured(b.size || 'no size yet'), 'Finished size', (at) => this.size(at)),
      b.cells ? value('grid', b.grid, 'Cells', (at) => this.cells(at)) : value('grid', b.grid, 'Grid', (at) => this.grid(at)),
      !b.cells && value('symmetry', b.repeats, 'Symmetry', (at) => this.symmetry(at)));
    this.rest();
  }

  /** What changes with the hand: fabrics, what can be done next, what is to be mended. */
  rest() {
    const b = this.block, sheet = this.sheet;
    if (!b) return;
    this.note();
    put(this.cloth, !b.cells && this.view.fabrics.map((/** @type {any} */ f, /** @type {number} */ i) => h('button', {
      type: 'button', class: 'fabric', 'data-focus': `fabric ${f.letter}`, 'aria-pressed': String(sheet.hand === f.letter),
      'aria-label': `Fabric ${f.letter} ${f.name}${i < 9 ? `, key ${i + 1}` : ''}`,
      onclick: () => sheet.take(sheet.hand === f.letter ? '' : f.letter),
    }, swatch(f.color), h('b', {}, f.letter), ' ', f.name)),
    !b.cells && value('ground', b.ground ? `the rest is ${b.ground}` : 'the rest is open', 'Ground', (at) => this.ground(at)),
    value('recolor', 'recolor', 'Recolor', (at) => this.recolor(at)),
    value('cloth', 'cloth', 'Colours, widths, prints, amounts', () => this.board.go('cloth')));
    put(this.next, ...this.words());
    put(this.found, b.findings.filter((/** @type {any} */ f) => f.point).concat(b.findings.filter((/** @type {any} */ f) => !f.point)).map((/** @type {any} */ f) => h('li', {
      class: `${f.severity}${f.point ? '' : ' nowhere'}`,
    }, upper(f.says), f.remedy && h('span', { class: 'remedy' }, ` ${upper(f.remedy)}.`))),
    b.seams.length > 0 && h('li', { class: 'hint nowhere' }, `${b.joins}: the seams that are marked cannot be sewn straight from edge to edge. They are sewn in parts, or a piece is set into a corner.`));
  }

  /** What can be done next. */
  words() {
    const b = this.block, sheet = this.sheet;
    const word = (/** @type {string} */ says, /** @type {() => void} */ act) => h('button', { type: 'button', class: 'word', 'data-focus': says, onclick: act }, says);
    this.running = sheet.run.length > 0;
    if (b.cells) return ['Point at a cell to say what stands in it: a fabric, a unit such as goose A B, another block. ', word('rows and columns', () => this.cells(this.next))];
    if (sheet.hand) return ['Point at a patch, or drag across several. ', word('draw lines', () => sheet.take(''))];
    if (sheet.chosen >= 0) {
      return ['Drag a point of the line to move it. ', word('remove this line', () => sheet.hands.remove(sheet.chosen)), word('leave it', () => sheet.choose(-1))];
    }
    if (this.running) {
      return ['Point at where the line goes on; its last point once more ends it. ', word('end it here', () => sheet.finish()), word('drop it', () => sheet.drop())];
    }
    if (!b.lines.length) {
      return ['Draw a line: drag from point to point, or point at one after the other. ',
        ...(b.symmetry.length ? [] : ['First, if it repeats: ', word('say how', () => this.symmetry(this.next))]), word('keys', () => this.board.keys())];
    }
    return ['Draw from point to point, or point at a line to change it. Take a fabric to fill. ', word('keys', () => this.board.keys())];
  }

  /** Keeps what is in hand in the address. */
  note() {
    const q = this.board.query;
    if (this.sheet.hand) q.set('hand', this.sheet.hand);
    else q.delete('hand');
    this.board.note('draft', q);
  }

  /** @param {number[]} patches */
  fill(patches) {
    const all = patches.map((i) => this.block.patches[i]).filter((p) => p && p.fabric !== this.sheet.hand);
    const done = new Set();
    const points = [], clear = [];
    for (const p of all) {
      if (done.has(p)) continue;
      points.push(p.at);
      clear.push(...(p.fills ?? []));
      for (const i of p.images ?? []) done.add(this.block.patches[i]);
    }
    if (!points.length) {
      this.sheet.drop();
      return;
    }
    /** @type {import('./talk.js').Op} */
    const op = this.sheet.hand === this.block.ground && clear.length
      ? { do: 'unfill', block: this.block.name, points: [...new Set(clear)] }
      : { do: 'fill', block: this.block.name, fabric: this.sheet.hand, points, clear: [...new Set(clear)] };
    void this.board.do(op);
  }

  /** @param {Element} at */
  blocks(at) {
    const name = this.block.name, piece = this.board.query.get('piece');
    const close = ask({ title: 'Blocks', near: at, body: [
      choices(this.view.blocks.map((/** @type {any} */ b) => ({
        says: [b.name, h('span', { class: 'dim' }, b.wrong ? ' · to mend' : b.placed ? '' : ' · not in the quilt yet')],
        chosen: b.name === name, pick: () => this.board.go('draft', { block: b.name, ...(piece && { piece }) }),
      })), () => close()),
      h('hr'),
      choices([
        { says: 'begin another block', pick: () => this.add() },
        { says: `call ${name} something else`, pick: () => this.rename() },
        { says: `copy ${name}`, pick: () => this.copy() },
        { says: `remove ${name}`, pick: () => void this.board.do({ do: 'remove block', block: name }) },
      ], () => close()),
    ] });
  }

  add() {
    const names = new Set((this.view.blocks ?? []).map((/** @type {any} */ b) => b.name));
    let n = names.size + 1;
    while (names.has(`Block ${n}`)) n++;
    const cells = /** @type {HTMLInputElement} */ (h('input', { type: 'checkbox', id: 'of-cells' }));
    const close = ask({ title: 'Begin a block', body: [line({ label: 'Its name', value: `Block ${n}`, word: 'begin', done: async (name) => {
      const is = cells.checked ? { cells: true, columns: 3, rows: 3 } : { columns: 4, rows: 4 };
      if (name && await this.board.do({ do: 'add block', block: name, size: '12', ...is })) this.board.go('draft', { block: name });
    } }, () => close()), h('p', {}, cells, h('label', { for: 'of-cells' }, ' laid out in cells: fabrics, units and other blocks, not drawn by lines'))] });
  }

  rename() {
    const name = this.block.name;
    const close = ask({ title: `Call ${name} something else`, body: [line({ label: 'Its name', value: name, word: 'rename', done: async (to) => {
      if (to && to !== name && await this.board.do({ do: 'rename block', block: name, to })) this.board.go('draft', { block: to });
    } }, () => close())] });
  }

  copy() {
    const name = this.block.name;
    const close = ask({ title: `Copy ${name}`, body: [line({ label: 'Name of the copy', value: `${name} again`, word: 'copy', done: async (to) => {
      if (to && await this.board.do({ do: 'copy block', block: name, to })) this.board.go('draft', { block: to });
    } }, () => close())] });
  }

  /** @param {Element} at */
  size(at) {
    const b = this.block;
    const set = (/** @type {string} */ text) => {
      const size = text.replace(/\s*(in|cm|")$/, '').split(/\s*[x×]\s*/);
      void this.board.do({ do: 'set size', block: b.name, size });
    };
    const close = ask({ title: 'Finished size', near: at, body: [
      line({ label: `${this.view.measure === 'cm' ? 'Centimetres' : 'Inches'}, as in 12 or 3 7/8 or 12 x 6`, value: b.width === b.height ? b.width : `${b.width} x ${b.height}`, word: 'set', done: set }, () => close()),
      b.sizes.length > 0 && h('p', { class: 'dim' }, `On this grid of ${b.columns}:`),
      choices(b.sizes.map((/** @type {any} */ s) => ({ says: measured(s.says), dim: !s.good, chosen: s.value === b.width, pick: () => set(s.value) })), () => close()),
    ] });
  }

  /** @param {Element} at */
  grid(at) {
    const b = this.block;
    const set = (/** @type {string} */ text, scale = false) => {
      const [columns, rows = columns] = text.split(/\s*[x×, ]\s*/).map(Number);
      void this.board.do({ do: 'set grid', block: b.name, columns, rows, scale });
    };
    const finer = [2, 3].filter((k) => b.columns * k <= 48).map((k) => ({
      says: `${b.columns * k} × ${b.rows * k}, the drawing as it is`, pick: () => set(`${b.columns * k} x ${b.rows * k}`, true),
    }));
    const close = ask({ title: 'Grid', near: at, body: [
      line({ label: 'Columns and rows, as in 6 or 6 x 4', value: b.columns === b.rows ? String(b.columns) : `${b.columns} x ${b.rows}`, word: 'set', done: (t) => set(t) }, () => close()),
      b.lines.length > 0 && h('p', { class: 'dim' }, 'Lines keep their numbers of steps. Or on a finer grid:'),
      b.lines.length > 0 && choices(finer, () => close()),
      h('hr'),
      choices([{ says: 'lay it out in cells instead, as it is', pick: () => void this.turn() }], () => close()),
    ] });
  }

  /** @param {Element} at */
  cells(at) {
    const b = this.block, rows = b.layout.length, columns = b.layout[0]?.length ?? 0;
    const op = (/** @type {string} */ what, /** @type {object} */ more = {}) => () => void this.board.do({ do: what, block: b.name, ...more });
    const close = ask({ title: 'Cells', near: at, body: [
      choices([
        { says: 'one row more, at the bottom', pick: op('add row') },
        { says: 'one column more, on the right', pick: op('add column') },
        ...(rows > 1 ? [{ says: 'take out the bottom row', pick: op('remove row', { row: rows }) }] : []),
        ...(columns > 1 ? [{ says: 'take out the right column', pick: op('remove column', { column: columns }) }] : []),
      ], () => close()),
      h('p', { class: 'dim' }, 'Elsewhere: point at a cell.'),
      h('hr'),
      choices([{ says: 'draw it by lines instead, as it is', pick: () => void this.turn() }], () => close()),
    ] });
  }

  /** Turns the block of lines into one of cells, or back. */
  async turn() {
    const b = this.block;
    /** @type {{revision: number, ops: import('./talk.js').Op[], why?: string}} */
    let turned;
    try {
      turned = await read(await fetch(`/turned?${new URLSearchParams({ block: b.name })}`));
    } catch (e) {
      this.board.say(`This cannot be done: ${e instanceof Error ? e.message : e}`, true);
      return;
    }
    if (turned.why) this.board.say(`${b.name} stays ${b.cells ? 'laid out in cells' : 'drawn by lines'}: ${turned.why}.`, true);
    else if (turned.revision === this.board.answer?.revision) void this.board.do(...turned.ops);
  }

  /** @param {Element} at */
  symmetry(at) {
    const b = this.block;
    const close = ask({ title: 'Symmetry', near: at, body: [choices(b.offered.map((/** @type {any} */ o) => ({
      says: o.says, chosen: o.says === b.repeats, pick: () => void this.board.do({ do: 'set symmetry', block: b.name, symmetry: o.words }),
    })), () => close())] });
  }

  /** @param {Element} at */
  ground(at) {
    const b = this.block;
    const close = ask({ title: 'What is not filled is', near: at, body: [choices([
      ...this.view.fabrics.map((/** @type {any} */ f) => ({
        says: [swatch(f.color), ` ${f.letter} ${f.name}`], chosen: f.letter === b.ground,
        pick: () => void this.board.do({ do: 'put', at: ['blocks', b.name, 'ground'], value: f.letter }),
      })),
      ...(b.ground ? [{ says: 'open: every patch is filled by hand', pick: () => void this.board.do({ do: 'drop', at: ['blocks', b.name, 'ground'] }) }] : []),
    ], () => close())] });
  }

  /** @param {Element} at */
  recolor(at) {
    const b = this.block;
    const used = new Set(b.patches.map((/** @type {any} */ p) => p.fabric));
    const close = ask({ title: `Exchange a fabric in ${b.name}`, near: at, body: [choices(
      this.view.fabrics.filter((/** @type {any} */ f) => used.has(f.letter)).map((/** @type {any} */ f) => ({
        says: [swatch(f.color), ` ${f.letter} ${f.name}`], pick: () => this.recolorTo(f),
      })), () => close())] });
  }

  /** @param {any} from */
  recolorTo(from) {
    const b = this.block;
    const close = ask({ title: `For ${from.letter} ${from.name} take`, body: [choices(
      this.view.fabrics.filter((/** @type {any} */ f) => f !== from).map((/** @type {any} */ f) => ({
        says: [swatch(f.color), ` ${f.letter} ${f.name}`],
        pick: () => void this.board.do(...exchange(b, from.letter, f.letter)),
      })), () => close())] });
  }

  /** @param {number} row @param {number} column */
  cell(row, column) {
    const b = this.block, says = b.layout[row][column].says;
    const close = ask({ title: `Row ${row + 1}, column ${column + 1}`, body: [
      line({ label: 'Stands here', value: says, word: 'put', done: (text) => void this.board.do({ do: 'put cell', block: b.name, row: row + 1, column: column + 1, cell: text }) }, () => close()),
      choices([
        { says: 'turn it a quarter', pick: () => void this.board.do({ do: 'turn cell', block: b.name, row: row + 1, column: column + 1, by: 90 }) },
        { says: 'mirror it', pick: () => void this.board.do({ do: 'mirror cell', block: b.name, row: row + 1, column: column + 1 }) },
      ], () => close()),
      h('hr'),
      choices([
        { says: 'add a row above it', pick: () => void this.board.do({ do: 'add row', block: b.name, before: row + 1 }) },
        { says: 'add a column to its left', pick: () => void this.board.do({ do: 'add column', block: b.name, before: column + 1 }) },
        ...(b.layout.length > 1 ? [{ says: 'take its row out', pick: () => void this.board.do({ do: 'remove row', block: b.name, row: row + 1 }) }] : []),
        ...(b.layout[0].length > 1 ? [{ says: 'take its column out', pick: () => void this.board.do({ do: 'remove column', block: b.name, column: column + 1 }) }] : []),
      ], () => close()),
    ] });
  }
}

/**
 * The operations that put one fabric in the place of another in a block. @param {any} b @param {string} from @param {string} to
 * @returns {import('./talk.js').Op[]}
 */
function exchange(b, from, to) {
  if (b.cells) {
    return b.layout.flatMap((/** @type {any[]} */ row, /** @type {number} */ r) => row.flatMap((_, c) => [
      { do: 'recolor cell', block: b.name, row: r + 1, column: c + 1, recolor: { [from]: to } }]));
  }
  const points = [...new Set(b.patches.filter((/** @type {any} */ p) => p.fabric === from).flatMap((/** @type {any} */ p) => p.fills ?? []))];
  return [
    ...(points.length ? [{ do: 'fill', block: b.name, fabric: to, points, clear: points }] : []),
    ...(b.ground === from ? [{ do: 'put', at: ['blocks', b.name, 'ground'], value: to }] : []),
  ];
}

/** @param {string} color */
function swatch(color) {
  const e = h('span', { class: 'swatch' });
  e.style.background = color;
  return e;
}

/** @param {string} text */
function upper(text) { return text.charAt(0).toUpperCase() + text.slice(1); }
