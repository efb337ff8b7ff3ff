// The quilt as it is set: it answers to the pointer and to keys, and tells its owner what the hand did; it changes nothing itself.

import { put, s } from './dom.js';
import { field, frame, inside, lie, middle, outline, quilt } from './quilt.js';

/**
 * @typedef {import('./quilt.js').Top} Top
 * @typedef {import('./quilt.js').Placed} Placed
 * @typedef {import('./quilt.js').Point} Point
 * @typedef {[number, number]} Cell row and column of the text, counted from 1
 * @typedef {{says: string, severity: string, row: number, column: number}} Finding
 *
 * @typedef {object} Hands what the quilt tells its owner
 * @property {(cells: Cell[]) => void} lay cells were pointed at with a block in hand
 * @property {(a: Cell, b: Cell) => void} exchange a block was dragged onto another
 * @property {(key: string) => boolean} key a key that is not about moving; whether it meant something
 * @property {(text: string) => void} say what is being done, in words
 * @property {() => void} changed another field is chosen
 */

export class Lay {
  /** @type {Top} */ top = { width: 0, height: 0, blocks: [], placed: [], patches: [], fits: false };
  /** @type {Placed[]} */ fields = [];
  /** @type {Finding[]} */ findings = [];
  /** The block in hand. */ hand = '';
  /** The chosen field, or -1. */ at = -1;
  /** The field that is to change places with the chosen one, or -1. */ grabbed = -1;
  /** Fields of the stroke in which a block is laid. @type {Set<number>} */ stroke = new Set();
  /** @type {{x: number, y: number, from: number, moved: boolean}|null} */ press = null;
  /** Where what is dragged is. @type {Point|null} */ ghost = null;
  over = -1;

  /** @param {Hands} hands */
  constructor(hands) {
    this.hands = hands;
    this.svg = /** @type {SVGSVGElement} */ (s('svg', {
      class: 'quilt', tabindex: '0', role: 'listbox', 'data-focus': 'quilt', 'aria-label': 'The quilt', 'aria-describedby': 'doing',
      onpointerdown: (/** @type {PointerEvent} */ e) => this.down(e), onpointermove: (/** @type {PointerEvent} */ e) => this.move(e),
      onpointerup: (/** @type {PointerEvent} */ e) => this.up(e), onpointercancel: () => this.drop(),
      onpointerleave: () => { if (!this.press) this.point(-1); },
      onkeydown: (/** @type {KeyboardEvent} */ e) => this.key(e),
    }));
    this.still = s('g', { 'aria-hidden': 'true' });
    this.marks = s('g', { 'aria-hidden': 'true' });
    this.live = s('g', { 'aria-hidden': 'true' });
    this.options = s('g', { role: 'presentation' });
    this.svg.append(this.still, this.options, this.live, this.marks);
    new ResizeObserver(() => { this.number(); this.paint(); }).observe(this.svg);
  }

  /**
   * @param {Top} top @param {Finding[]} findings @param {{fill: import('./quilt.js').Fill, patterns: Map<string, SVGElement>}} cloth
   * @param {Point[][]} lit patches that come from the piece that is lit
   */
  show(top, findings, { fill, patterns }, lit) {
    this.top = top;
    this.findings = findings;
    this.fields = top.placed.filter((p) => p.of[0] > 0);
    if (this.at >= this.fields.length) this.at = -1;
    this.grabbed = -1;
    this.drop();
    frame(this.svg, top);
    const drawn = quilt(top, fill, 'set');
    put(this.still, s('defs', {}, ...patterns.values()), drawn, ['halo', 'lit'].flatMap((how) => lit.map((p) => s('path', { d: outline(p), class: how }))));
    put(this.options, this.fields.map((p, i) => s('path', {
      d: outline(field(top, p)), id: `field-${i}`, role: 'option', class: 'field', 'aria-label': this.name(i), 'aria-selected': 'false',
    })));
    this.number();
    this.paint();
  }

  /** @param {number} i */
  name(i) {
    const p = this.fields[i];
    return `row ${p.row}, column ${p.column}: ${p.says}`;
  }

  /** The chosen cell of the text. @returns {Cell|undefined} */
  get cell() { return this.fields[this.at]?.of; }

  /** Chooses a field by its row and column in the quilt. @param {string} at "2,3" */
  chooseAt(at) {
    this.at = this.fields.findIndex((p) => `${p.row},${p.column}` === at);
    this.paint();
  }

  /** @param {number} i */
  choose(i) {
    this.at = i;
    this.paint();
    this.tell();
    this.hands.changed();
  }

  /** Forgets what was begun. */
  drop() {
    this.press = null;
    this.ghost = null;
    this.stroke.clear();
    this.paint();
  }

  /** Lengths of the picture in a pixel. */
  get px() { return this.svg.clientWidth ? this.svg.viewBox.baseVal.width / this.svg.clientWidth : 0.05; }

  /** Marks where findings are. */
  number() {
    const px = this.px;
    let n = 0;
    put(this.marks, this.findings.flatMap((f) => {
      if (!f.row) return [];
      n++;
      const p = this.fields.find((p) => p.of[0] === f.row && (!f.column || p.of[1] === f.column));
      if (!p) return [];
      const points = field(this.top, p), [cx, cy] = middle(points);
      const x = f.column ? cx : Math.max(Math.min(...points.map((q) => q[0])), 0) + 13 * px;
      return [s('circle', { cx: x, cy, r: 11 * px, class: `mark ${f.severity}` }),
        s('text', { x, y: cy + 4.5 * px, 'font-size': 13 * px, class: 'mark' }, String(n))];
    }));
  }

  /** Draws what the hand does. */
  paint() {
    /** @type {SVGElement[]} */ const out = [];
    const line = (/** @type {number} */ i, /** @type {string} */ how) => {
      const p = this.fields[i];
      if (p) out.push(s('path', { d: outline(field(this.top, p)), class: how }));
    };
    for (const p of this.fields) { // what is repeated changes together
      const at = this.fields[this.at];
      if (at && p !== at && p.of[0] === at.of[0] && p.of[1] === at.of[1]) line(this.fields.indexOf(p), 'echo');
    }
    for (const i of this.stroke) line(i, 'stroke');
    if (this.grabbed >= 0) line(this.grabbed, 'grabbed');
    if (this.over >= 0 && this.over !== this.at && (this.hand || this.press?.moved)) line(this.over, 'over');
    if (this.at >= 0) {
      line(this.at, 'rim');
      line(this.at, 'here');
    }
    const from = this.press && this.press.moved && !this.hand ? this.fields[this.press.from] : undefined;
    if (from && this.ghost) {
      const [x, y] = middle(field(this.top, from));
      const moved = { ...from, x: from.x + this.ghost[0] - x, y: from.y + this.ghost[1] - y };
      const g = s('g', { class: 'ghost' }, lie(moved, `set-${from.block}`));
      out.push(g);
    }
    put(this.live, out);
    for (const [i, o] of [...this.options.children].entries()) o.setAttribute('aria-selected', String(i === this.at));
    if (this.at >= 0) this.svg.setAttribute('aria-activedescendant', `field-${this.at}`);
    else this.svg.removeAttribute('aria-activedescendant');
  }

  /** Says what is being done. */
  tell() {
    const at = this.at >= 0 ? this.name(this.at) : '';
    if (this.grabbed >= 0) this.hands.say(`${this.name(this.grabbed)}; changes places with ${this.at === this.grabbed ? '…' : at}`);
    else if (this.hand) this.hands.say(`laying ${this.hand}${at ? `; on ${at}` : ''}`);
    else this.hands.say(at);
  }

  // The pointer.

  /** @param {{clientX: number, clientY: number}} e @returns {Point} */
  place(e) {
    const m = this.svg.getScreenCTM();
    if (!m) return [0, 0];
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(m.inverse());
    return [p.x, p.y];
  }

  /** The field under a pointer, or -1. @param {{clientX: number, clientY: number}} e */
  under(e) {
    const [x, y] = this.place(e);
    return this.fields.findIndex((p) => inside(field(this.top, p), x, y));
  }

  /** Shows where a block would go. @param {number} i */
  point(i) {
    if (i === this.over) return;
    this.over = i;
    this.paint();
  }

  /** @param {PointerEvent} e */
  down(e) {
    if (e.button !== 0 || !this.fields.length) return;
    this.svg.setPointerCapture(e.pointerId);
    const i = this.under(e);
    this.press = { x: e.clientX, y: e.clientY, from: i, moved: false };
    if (this.hand && i >= 0) {
      this.stroke.add(i);
      this.paint();
    }
  }

  /** @param {PointerEvent} e */
  move(e) {
    const press = this.press, i = this.under(e);
    if (press) {
      press.moved ||= Math.hypot(e.clientX - press.x, e.clientY - press.y) > 6;
      if (this.hand && i >= 0) this.stroke.add(i);
      else if (press.moved) this.ghost = this.place(e);
      this.over = i;
      this.paint();
    } else this.point(i);
  }

  /** @param {PointerEvent} e */
  up(e) {
    const press = this.press;
    if (!press) return;
    const i = this.under(e), cells = [...this.stroke].map((f) => this.fields[f].of);
    this.drop();
    if (this.hand) {
      if (cells.length) this.hands.lay(cells);
      return;
    }
    if (this.grabbed >= 0 && !press.moved) {
      const from = this.grabbed;
      this.grabbed = -1;
      this.choose(i >= 0 ? i : this.at);
      if (i >= 0 && i !== from) this.hands.exchange(this.fields[from].of, this.fields[i].of);
      return;
    }
    if (press.moved && press.from >= 0) {
      if (i >= 0 && i !== press.from) {
        this.choose(i);
        this.hands.exchange(this.fields[press.from].of, this.fields[i].of);
      }
      return;
    }
    this.choose(i === this.at ? -1 : i);
  }

  // Keys.

  /** @param {KeyboardEvent} e */
  key(e) {
    if (e.ctrlKey || e.metaKey || e.altKey || !this.fields.length) return;
    const arrows = /** @type {Record<string, Point>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] });
    const arrow = arrows[e.key];
    if (arrow) this.choose(this.at < 0 ? 0 : this.next(arrow));
    else if (this.grabbed >= 0 && (e.key === 'Enter' || e.key === ' ')) {
      const from = this.grabbed;
      this.grabbed = -1;
      this.choose(this.at);
      if (from !== this.at) this.hands.exchange(this.fields[from].of, this.fields[this.at].of);
    } else if (this.grabbed >= 0 && e.key === 'Escape') this.release();
    else if (this.hand && (e.key === 'Enter' || e.key === ' ')) {
      if (this.at >= 0) this.hands.lay([this.fields[this.at].of]);
    } else if (e.key.toLowerCase() === 'x' && this.at >= 0) this.grab();
    else if (e.key === 'Escape' && !this.hand && this.at >= 0) this.choose(-1);
    else if (!this.hands.key(e.key)) return;
    e.preventDefault();
  }

  /** Picks up the chosen block; the next field that is chosen changes places with it. */
  grab() {
    this.grabbed = this.at;
    this.paint();
    this.tell();
    this.hands.changed();
  }

  /** Puts it down where it was. */
  release() {
    this.grabbed = -1;
    this.choose(this.at);
  }

  /** The field beside the chosen one: in its row, or in the next row the one that is nearest. @param {Point} by */
  next(by) {
    const from = this.fields[this.at], x = middle(field(this.top, from))[0];
    let best = this.at, least = Infinity;
    this.fields.forEach((p, i) => {
      if (by[0] && p.row === from.row && p.column === from.column + by[0]) best = i;
      if (by[1] && p.row === from.row + by[1]) {
        const far = Math.abs(middle(field(this.top, p))[0] - x);
        if (far < least - 1e-6) [best, least] = [i, far];
      }
    });
    return best;
  }
}
