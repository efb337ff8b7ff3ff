// The sheet: a block as SVG that answers to the pointer and to keys. It draws what the server says and tells its owner what the hand did; it
// changes nothing itself. Points are steps of the grid.

import { put, s } from './dom.js';

/**
 * @typedef {[number, number]} Point
 * @typedef {{points: Point[], at: string[]}} Line
 * @typedef {{points: Point[], fabric: string, at: string, x: number, y: number, images?: number[], fills?: string[]}} Patch
 * @typedef {{severity: string, code: string, says: string, remedy?: string, point?: Point, line: number}} Finding
 * @typedef {{letter: string, name: string, color: string}} Fabric
 * @typedef {{A: number, B: number, C: number, D: number, E: number, F: number}} Motion
 * @typedef {object} Block
 * @property {string} name @property {boolean} cells @property {number} across @property {number} down @property {number} shape
 * @property {number} columns @property {number} rows @property {Motion[]} motions @property {Line[]} lines
 * @property {{x: number, y: number, at: string}[]} meets @property {Patch[]} patches
 * @property {{from: Point, to: Point, kind: string}[]} seams @property {Finding[]} findings
 * @property {{x: number, y: number, width: number, height: number, says: string}[][]} [layout]
 * @property {number[]} [lit] patches that come from the piece that is lit
 *
 * @typedef {object} Hands what the sheet tells its owner
 * @property {(points: string[]) => void} draw a line was drawn
 * @property {(patches: number[]) => void} fill patches were pointed at with a fabric in hand
 * @property {(line: number, point: number, to: string) => void} move a point of a line was moved; both from 0
 * @property {(line: number) => void} remove
 * @property {(row: number, column: number) => void} cell a cell was chosen; both from 0
 * @property {(text: string) => void} say what is being done, in words
 * @property {() => void} changed the hand holds something else, or another line is chosen
 *
 * @typedef {{x: number, y: number, at: string}} Spot
 */

/** A coordinate as the document writes it: wholes and halves. @param {number} x */
const half = (x) => (Number.isInteger(x) ? String(x) : `${x * 2}/2`);
/** @param {number} x @param {number} y @returns {Spot} */
const onGrid = (x, y) => ({ x, y, at: `${half(x)},${half(y)}` });

/** How wide the margin round the block is, as a part of its width. */
const margin = 0.035;

export class Sheet {
  /** @type {Block|undefined} */ block;
  /** @type {Fabric[]} */ fabrics = [];
  /** The fabric in hand; without one, lines are drawn. @type {string} */ hand = '';
  /** Points of the line that is being drawn. @type {Spot[]} */ run = [];
  /** Where the pointer or the keys are. @type {Spot|null} */ at = null;
  /** The chosen line, and which of its points keys move. */
  chosen = -1; point = 0;
  /** Where that point would go. @type {Spot|null} */ moving = null;
  /** The patch, or the cell, that keys are on. */ patch = -1;
  /** Patches of the stroke that is being filled. @type {Set<number>} */ stroke = new Set();
  byKeys = false;
  /** The width of the sheet in pixels: asked for when it changes, since asking has the browser lay the page out. */ wide = 0;
  /** @type {{x: number, y: number, what: 'run'|'fill'|'move'|'cell', from: Spot|null}|null} */ press = null;

  /** @param {Hands} hands */
  constructor(hands) {
    this.hands = hands;
    this.svg = /** @type {SVGSVGElement} */ (s('svg', {
      class: 'drawing', tabindex: '0', role: 'application', 'data-focus': 'sheet', 'aria-describedby': 'doing',
      onpointerdown: (/** @type {PointerEvent} */ e) => this.down(e), onpointermove: (/** @type {PointerEvent} */ e) => this.over(e),
      onpointerup: (/** @type {PointerEvent} */ e) => this.up(e), onpointercancel: () => this.drop(),
      onpointerleave: () => { if (!this.press && !this.byKeys && !this.run.length) { this.at = null; this.paint(); } },
      onkeydown: (/** @type {KeyboardEvent} */ e) => this.key(e),
      onblur: () => { this.byKeys = false; this.paint(); },
    }));
    this.still = s('g');
    this.live = s('g');
    this.svg.append(this.still, this.live);
    new ResizeObserver(() => { this.wide = this.svg.clientWidth; this.draw(); }).observe(this.svg);
  }

  /** @param {Block} block @param {Fabric[]} fabrics */
  show(block, fabrics) {
    if (this.block?.name !== block.name) {
      this.run = [];
      this.chosen = -1;
      this.patch = -1;
      this.at = null;
    }
    // A plan that comes later leaves the lines as they are, and what keys have begun on them.
    if (JSON.stringify(this.block?.lines) !== JSON.stringify(block.lines)) this.moving = null;
    this.block = block;
    this.fabrics = fabrics;
    this.stroke.clear();
    if (this.chosen >= block.lines.length) this.chosen = -1;
    if (this.patch >= block.patches.length) this.patch = -1;
    this.svg.setAttribute('aria-label', `Sheet of ${block.name}`);
    this.draw();
    this.tell();
  }

  /** Takes a fabric in hand, or with '' puts it down. @param {string} letter */
  take(letter) {
    this.hand = letter;
    this.drop();
    this.chosen = -1;
    if (letter) this.at = null;
    this.paint();
    this.tell();
    this.hands.changed();
  }

  /** Forgets what was begun. */
  drop() {
    this.run = [];
    this.press = null;
    this.moving = null;
    this.stroke.clear();
    this.paint();
    this.tell();
  }

  // Measures of the picture. A step down is k steps across, for blocks whose steps are not square.

  get k() {
    const b = /** @type {Block} */ (this.block);
    return b.across / b.shape / b.down;
  }

  /** Lengths of the picture in a pixel. */
  get px() {
    return this.wide && this.block ? this.block.across * (1 + 2 * margin) / this.wide : 0.01;
  }

  /** @param {Point} p @returns {string} */
  xy(p) { return `${+p[0].toFixed(5)} ${+(p[1] * this.k).toFixed(5)}`; }
  /** @param {Point[]} points @param {boolean} closed */
  path(points, closed = false) { return 'M' + points.map((p) => this.xy(p)).join('L') + (closed ? 'Z' : ''); }
  /** @param {Motion} m @param {Point} p @returns {Point} */
  image(m, p) { return [m.A * p[0] + m.C * p[1] + m.E, m.B * p[0] + m.D * p[1] + m.F]; }
  /** @param {string} letter */
  color(letter) { return this.fabrics.find((f) => f.letter === letter)?.color ?? ''; }

  /** Draws what does not change while the hand moves. */
  draw() {
    const b = this.block;
    if (!b || !(b.across > 0)) return;
    const edge = b.across * margin, high = b.down * this.k;
    this.svg.setAttribute('viewBox', `${-edge} ${-edge} ${b.across + 2 * edge} ${high + 2 * edge}`);
    const ratio = String((b.across + 2 * edge) / (high + 2 * edge));
    this.svg.style.aspectRatio = ratio;
    this.svg.style.setProperty('--ratio', ratio);
    const patches = b.patches.map((p, i) => s('path', {
      d: this.path(p.points, true), class: p.fabric ? 'patch' : 'patch empty', fill: p.fabric ? this.color(p.fabric) : 'url(#open)', 'data-patch': i,
    }));
    const grid = [];
    if (!b.cells && b.columns * b.rows <= 2500) {
      for (let x = 0; x <= b.columns; x++) grid.push(`M${x} ${-edge / 2}V0M${x} ${high}v${edge / 2}`);
      for (let y = 0; y <= b.rows; y++) grid.push(`M${-edge / 2} ${y * this.k}H0M${b.across} ${y * this.k}h${edge / 2}`);
      for (let x = 1; x < b.columns; x++) for (let y = 1; y < b.rows; y++) grid.push(`M${x} ${y * this.k}h0`);
    }
    const lines = b.lines.flatMap((l, i) => b.motions.map((m, k) => s('path', {
      d: this.path(l.points.map((p) => this.image(m, p))), class: 'line', 'data-line': k === 0 ? i : null,
    })));
    const cells = (b.layout ?? []).flatMap((row, r) => row.map((c, i) => s('rect', {
      x: c.x, y: c.y * this.k, width: c.width, height: c.height * this.k, class: 'cell', 'data-cell': `${r},${i}`,
    })));
    const lit = ['halo', 'lit'].flatMap((how) => (b.lit ?? []).map((i) => s('path', { d: this.path(b.patches[i].points, true), class: how })));
    const seams = b.seams.map((seam) => s('path', { d: this.path([seam.from, seam.to]), class: 'unstraight' }));
    let n = 0;
    const marks = b.findings.flatMap((f) => {
      if (!f.point) return [];
      n++;
      const [x, y] = f.point;
      return [s('circle', { cx: x, cy: y * this.k, r: 11 * this.px, class: `mark ${f.severity}` }),
        s('text', { x, y: y * this.k + 4.5 * this.px, 'font-size': 13 * this.px, class: 'mark' }, String(n))];
    });
    // A patch without a fabric is hatched.
    const gap = 9 * this.px;
    const open = s('pattern', { id: 'open', width: gap, height: gap, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)' },
      s('path', { d: `M0 0V${gap}`, class: 'hatch' }));
    put(this.still, open, s('rect', { x: 0, y: 0, width: b.across, height: high, class: 'ground' }), patches,
      s('path', { d: grid.join(''), class: 'grid' }), lines, s('rect', { x: 0, y: 0, width: b.across, height: high, class: 'edge' }), cells, lit, seams, marks);
    this.paint();
  }

  /** Draws what the hand does. */
  paint() {
    const b = this.block;
    if (!b) return;
    /** @type {SVGElement[]} */ const out = [];
    const px = this.px, k = this.k;
    /** @param {Spot} p @param {string} how */
    const dot = (p, how) => out.push(s('circle', { cx: p.x, cy: p.y * k, r: 5.5 * px, class: `dot ${how}` }));
    if (this.chosen >= 0) {
      const points = b.lines[this.chosen].points.map((p, i) => (this.moving && i === this.point ? /** @type {Point} */ ([this.moving.x, this.moving.y]) : p));
      for (const m of b.motions.slice(1)) out.push(s('path', { d: this.path(points.map((p) => this.image(m, p))), class: 'echo' }));
      out.push(s('path', { d: this.path(points), class: 'chosen' }));
      points.forEach((p, i) => dot({ x: p[0], y: p[1], at: '' }, i === this.point ? 'end' : 'start'));
    }
    const run = this.run.map((p) => /** @type {Point} */ ([p.x, p.y]));
    if (this.run.length && this.at) run.push([this.at.x, this.at.y]);
    if (run.length > 1) {
      for (const m of b.motions.slice(1)) out.push(s('path', { d: this.path(run.map((p) => this.image(m, p))), class: 'echo' }));
      out.push(s('path', { d: this.path(run), class: 'drawing-line' }));
    }
    for (const p of this.run) dot(p, 'start');
    if (this.at && !this.hand && !b.cells) dot(this.at, 'end');
    const color = this.color(this.hand);
    const reached = new Set([...this.stroke].flatMap((i) => b.patches[i]?.images ?? [i]));
    for (const i of reached) out.push(s('path', { d: this.path(b.patches[i].points, true), class: 'patch', fill: color }));
    if (this.patch >= 0 && b.patches[this.patch] && !b.cells && this.hand) out.push(s('path', { d: this.path(b.patches[this.patch].points, true), class: 'here' }));
    const cell = b.cells && this.patch >= 0 ? (b.layout ?? []).flat()[this.patch] : undefined;
    if (cell) out.push(s('rect', { x: cell.x, y: cell.y * k, width: cell.width, height: cell.height * k, class: 'here' }));
    put(this.live, out);
  }

  /** Says what is being done. */
  tell() {
    const b = this.block;
    if (!b) return;
    const name = this.fabrics.find((f) => f.letter === this.hand)?.name ?? '';
    let says = 'drawing lines';
    if (b.cells) {
      const wide = b.layout?.[0]?.length ?? 1, is = (b.layout ?? []).flat()[this.patch];
      says = is ? `row ${Math.floor(this.patch / wide) + 1}, column ${this.patch % wide + 1}: ${is.says}` : 'choosing a cell';
    } else if (this.hand) {
      says = `filling with ${this.hand} ${name}`;
      const p = b.patches[this.patch];
      if (this.byKeys && p) says += `; on a patch at ${p.at}, ${p.fabric ? `now ${p.fabric}` : 'without a fabric'}`;
    } else if (this.run.length) says = `line from ${this.run.map((p) => p.at).join(' to ')}${this.at ? ` to ${this.at.at}` : ''}`;
    else if (this.chosen >= 0) says = `line ${this.chosen + 1}: ${b.lines[this.chosen].at.join(' to ')}${this.moving ? `; point ${this.point + 1} to ${this.moving.at}` : ''}`;
    else if (this.byKeys && this.at) says = `at ${this.at.at}`;
    this.hands.say(says);
  }

  // The pointer.

  /** Where a pointer is, in steps. @param {PointerEvent} e @returns {Point} */
  place(e) {
    const m = this.svg.getScreenCTM();
    if (!m) return [0, 0];
    const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(m.inverse());
    return [p.x, p.y / this.k];
  }

  /**
   * The point to snap to: of the grid, the middle of a step, or where lines meet. A point of the grid draws from farther away.
   * @param {PointerEvent} e @returns {{spot: Spot, far: number, reach: number}} far and reach in pixels
   */
  snap(e) {
    const b = /** @type {Block} */ (this.block);
    const [x, y] = this.place(e);
    const clamp = (/** @type {number} */ v, /** @type {number} */ most) => Math.min(Math.max(v, 0), most);
    const far = (/** @type {{x: number, y: number}} */ p) => Math.hypot(p.x - x, (p.y - y) * this.k) / this.px;
    const whole = onGrid(clamp(Math.round(x), b.columns), clamp(Math.round(y), b.rows));
    let best = whole, least = far(whole) * 0.6;
    const others = [onGrid(clamp(Math.round(x * 2) / 2, b.columns), clamp(Math.round(y * 2) / 2, b.rows)), ...b.meets];
    for (const p of others) if (far(p) < least) [best, least] = [p, far(p)];
    const step = Math.min(1, this.k) / this.px;
    return { spot: best, far: far(best), reach: Math.min(e.pointerType === 'touch' ? 22 : 12, step * 0.3) };
  }

  /** The patch under a pointer, or -1. @param {PointerEvent} e */
  patchAt(e) {
    const [x, y] = this.place(e);
    return (this.block?.patches ?? []).findIndex((p) => inside(p.points, x, y));
  }

  /** The writer's line next to a pointer, or -1. @param {PointerEvent} e */
  lineAt(e) {
    const b = /** @type {Block} */ (this.block);
    const [x, y] = this.place(e);
    let best = -1, least = (e.pointerType === 'touch' ? 16 : 8) * this.px;
    b.lines.forEach((l, i) => b.motions.forEach((m) => {
      const points = l.points.map((p) => this.image(m, p));
      for (let j = 1; j < points.length; j++) {
        const d = apart([x, y * this.k], [points[j - 1][0], points[j - 1][1] * this.k], [points[j][0], points[j][1] * this.k]);
        if (d < least) [best, least] = [i, d];
      }
    }));
    return best;
  }

  /** @param {PointerEvent} e */
  down(e) {
    const b = this.block;
    if (!b || e.button !== 0) return;
    this.byKeys = false;
    this.svg.setPointerCapture(e.pointerId);
    if (b.cells) {
      const [x, y] = this.place(e);
      this.patch = (b.layout ?? []).flat().findIndex((c) => x >= c.x && x < c.x + c.width && y >= c.y && y < c.y + c.height);
      this.press = { x: e.clientX, y: e.clientY, what: 'cell', from: null };
      this.paint();
      return;
    }
    if (this.hand) {
      this.press = { x: e.clientX, y: e.clientY, what: 'fill', from: null };
      this.brush(e);
      return;
    }
    const { spot, far, reach } = this.snap(e);
    if (this.chosen >= 0) {
      const i = b.lines[this.chosen].points.findIndex((p) => Math.hypot(p[0] - spot.x, p[1] - spot.y) < 1e-6);
      if (i >= 0 && far <= Math.max(reach, 12)) {
        this.point = i;
        this.press = { x: e.clientX, y: e.clientY, what: 'move', from: spot };
        this.paint();
        return;
      }
    }
    if (this.run.length || far <= reach) {
      this.chosen = -1;
      this.at = spot;
      const last = this.run[this.run.length - 1];
      if (last && last.at === spot.at) return this.finish();
      this.run.push(spot);
      this.press = { x: e.clientX, y: e.clientY, what: 'run', from: spot };
    } else {
      this.choose(this.lineAt(e));
    }
    this.paint();
    this.tell();
  }

  /** @param {PointerEvent} e */
  over(e) {
    const b = this.block;
    if (!b || b.cells) return;
    if (this.hand) {
      if (this.press) this.brush(e);
      return;
    }
    const { spot, far, reach } = this.snap(e);
    if (this.press?.what === 'move') this.moving = spot;
    else this.at = this.run.length || far <= reach ? spot : null;
    this.byKeys = false;
    this.paint();
    this.tell();
  }

  /** @param {PointerEvent} e */
  up(e) {
    const press = this.press;
    this.press = null;
    if (!press || !this.block) return;
    if (press.what === 'cell') {
      this.chooseCell();
      return;
    }
    if (press.what === 'fill') {
      this.hands.fill([...this.stroke]);
      return;
    }
    const moved = Math.hypot(e.clientX - press.x, e.clientY - press.y) > 6;
    const { spot } = this.snap(e);
    if (press.what === 'move') {
      if (moved && spot.at !== press.from?.at) this.hands.move(this.chosen, this.point, spot.at);
      this.moving = null;
    } else if (moved && spot.at !== press.from?.at) { // a drag is a whole line; clicks go on from point to point
      this.run.push(spot);
      if (this.run.length === 2) this.finish();
    }
    this.paint();
    this.tell();
  }

  /** @param {PointerEvent} e */
  brush(e) {
    const i = this.patchAt(e);
    if (i >= 0 && !this.stroke.has(i)) {
      this.stroke.add(i);
      this.paint();
    }
  }

  /** Ends the line that is being drawn. */
  finish() {
    const points = this.run.map((p) => p.at);
    this.run = [];
    this.press = null;
    if (points.length > 1) this.hands.draw(points);
    this.paint();
    this.tell();
  }

  /** @param {number} line */
  choose(line) {
    this.chosen = line;
    this.point = 0;
    this.moving = null;
    this.paint();
    this.tell();
    this.hands.changed();
  }

  // Keys.

  /** @param {KeyboardEvent} e */
  key(e) {
    const b = this.block;
    if (!b || e.ctrlKey || e.metaKey || e.altKey) return;
    const arrows = /** @type {Record<string, Point>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] });
    const arrow = arrows[e.key];
    const go = e.key === 'Enter' || e.key === ' ';
    const was = this.byKeys;
    this.byKeys = true;
    if (arrow) this.arrow(arrow, e.shiftKey, was);
    else if (b.cells && go) this.chooseCell();
    else if (b.cells) return;
    else if (/^[1-9]$/.test(e.key) && this.fabrics[Number(e.key) - 1]) this.take(this.fabrics[Number(e.key) - 1].letter);
    else if (e.key === '0' || e.key === 'l') this.take('');
    else if ((e.key === 'x' || e.key === 'X') && !this.hand) {
      if (!this.meet(e.key === 'X')) {
        this.hands.say('no lines meet off the grid');
        return;
      }
    }
    else if (e.key === 'n' || e.key === 'p') {
      if (b.lines.length) {
        if (this.hand) this.take('');
        this.choose((this.chosen + (e.key === 'n' ? 1 : -1) + (this.chosen < 0 && e.key === 'p' ? 1 : 0) + b.lines.length) % b.lines.length);
      }
    } else if (this.hand) {
      if (go && this.patch >= 0) this.hands.fill([this.patch]);
      else if (e.key === 'Escape') this.take('');
      else return;
    } else if (this.chosen >= 0 && (e.key === 'Delete' || e.key === 'Backspace')) {
      this.hands.remove(this.chosen);
    } else if (this.chosen >= 0 && (e.key === '.' || e.key === ',')) {
      this.moving = null;
      const count = b.lines[this.chosen].points.length;
      this.point = (this.point + (e.key === '.' ? 1 : count - 1)) % count;
    } else if (this.chosen >= 0 && go) {
      if (this.moving) this.hands.move(this.chosen, this.point, this.moving.at);
    } else if (go) {
      const last = this.run[this.run.length - 1];
      if (!this.at) this.at = onGrid(0, 0);
      if (last?.at === this.at.at) this.finish();
      else this.run.push(this.at);
    } else if (e.key === 'Backspace' && this.run.length) this.run.pop();
    else if (e.key === 'Escape' && (this.run.length || this.chosen >= 0)) {
      this.drop();
      this.choose(-1);
    } else return;
    e.preventDefault();
    this.paint();
    this.tell();
  }

  /** Goes to a point where lines meet off the grid: the nearest, or from one to the next in reading order; false where there is none. @param {boolean} back */
  meet(back) {
    const b = /** @type {Block} */ (this.block);
    const p = b.lines[this.chosen]?.points[this.point];
    const all = [...b.meets].sort((a, c) => a.y - c.y || a.x - c.x);
    const now = this.chosen >= 0 ? this.moving ?? { x: p[0], y: p[1], at: '' } : this.at ?? { x: 0, y: 0, at: '' };
    if (!all.length) return false;
    const here = all.findIndex((m) => m.at === now.at);
    let to = all[(here + (back ? all.length - 1 : 1)) % all.length];
    if (here < 0) to = all.reduce((best, m) => (Math.hypot(m.x - now.x, m.y - now.y) < Math.hypot(best.x - now.x, best.y - now.y) - 1e-9 ? m : best));
    if (this.chosen >= 0) this.moving = to;
    else this.at = to;
    return true;
  }

  /** Chooses the cell that the hand is on. */
  chooseCell() {
    const wide = this.block?.layout?.[0]?.length ?? 1;
    if (this.patch >= 0) this.hands.cell(Math.floor(this.patch / wide), this.patch % wide);
  }

  /** @param {Point} by @param {boolean} halves @param {boolean} was keys were in use before */
  arrow(by, halves, was) {
    const b = /** @type {Block} */ (this.block);
    if (b.cells) {
      const wide = b.layout?.[0]?.length ?? 1, high = b.layout?.length ?? 1;
      if (this.patch < 0) this.patch = 0;
      else this.patch = ((Math.floor(this.patch / wide) + by[1] + high) % high) * wide + ((this.patch % wide) + by[0] + wide) % wide;
      return;
    }
    if (this.hand) {
      this.patch = this.patch < 0 ? 0 : this.next(this.patch, by);
      return;
    }
    const step = halves ? 0.5 : 1;
    const clamp = (/** @type {number} */ v, /** @type {number} */ most) => Math.min(Math.max(v, 0), most);
    /** @param {{x: number, y: number}} p */
    const moved = (p) => onGrid(clamp(Math.round((p.x + by[0] * step) * 2) / 2, b.columns), clamp(Math.round((p.y + by[1] * step) * 2) / 2, b.rows));
    if (this.chosen >= 0) {
      const p = b.lines[this.chosen].points[this.point];
      this.moving = moved(this.moving ?? { x: p[0], y: p[1] });
    } else this.at = this.at && (was || this.run.length) ? moved(this.at) : this.at ?? onGrid(0, 0);
  }

  /** The patch that is nearest in a direction, or the same where there is none. @param {number} from @param {Point} by */
  next(from, by) {
    const all = /** @type {Block} */ (this.block).patches, p = all[from];
    let best = from, least = Infinity;
    all.forEach((q, i) => {
      const ahead = (q.x - p.x) * by[0] + (q.y - p.y) * by[1], aside = Math.abs((q.x - p.x) * by[1]) + Math.abs((q.y - p.y) * by[0]);
      if (i !== from && ahead > 1e-6 && ahead + 2 * aside < least) [best, least] = [i, ahead + 2 * aside];
    });
    return best;
  }
}

/** @param {Point[]} pg @param {number} x @param {number} y */
function inside(pg, x, y) {
  let is = false;
  for (let i = 0, j = pg.length - 1; i < pg.length; j = i++) {
    const [ax, ay] = pg[i], [bx, by] = pg[j];
    if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) is = !is;
  }
  return is;
}

/** How far a point is from a segment. @param {Point} p @param {Point} a @param {Point} b */
function apart(p, a, b) {
  const dx = b[0] - a[0], dy = b[1] - a[1];
  const t = Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy || 1)));
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

