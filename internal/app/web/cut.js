// Cut: cloth to buy, the cutting list, the strips to scale; of the whole quilt or of a month.

import { ask, choices, value } from './ask.js';
import { h, measured, put, s } from './dom.js';
import { cost, findings, light, listenForPieces, lit, look, pieceKeys, rich, unready } from './plan.js';
import { terms } from './terms.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'cut',
  keys: [...pieceKeys],
  open: (board) => new Cut(board),
};

class Cut {
  /** @type {any} */ view = null;
  element = h('section', { class: 'stay cut', 'aria-label': 'Cut' });

  /** @param {Board} board */
  constructor(board) {
    this.board = board;
    this.close = listenForPieces(board, this.element, () => this.view);
  }

  month() { return this.view?.month ?? 0; }

  /** @param {Answer} answer */
  show(answer) {
    const v = this.view = answer.view;
    put(this.element,
      h('div', { class: 'top' }, h('div', { class: 'values' },
        v.months.length ? value('month', v.month ? v.months.find((/** @type {any} */ m) => m.number === v.month)?.says : 'the whole quilt at once', 'What is cut', (at) => this.months(at)) : h('span', {}, 'the whole quilt'), terms(this.board, v.terms)),
      h('p', { class: 'doing' }, v.ready && 'Choose a label to see that piece everywhere.')),
      unready(v), findings(v.found), lit(v, this.board),
      v.fabrics.map((/** @type {any} */ f) => this.fabric(f)),
      v.finish.length > 0 && h('section', { class: 'fabric' }, h('h2', {}, 'Binding, backing, batting'), v.finish.map((/** @type {string} */ t, /** @type {number} */ i) => h('p', {}, rich(t, this.board, v, `finish ${i}`)))),
      v.ready && !v.fabrics.length && h('p', { class: 'next' }, 'This month cuts nothing.'),
      cost(v, this.board));
    const at = this.element.querySelector('.strips .lit');
    if (at && v.piece?.label !== this.shown) at.scrollIntoView({ block: 'nearest' });
    this.shown = v.piece?.label;
  }

  /** @param {any} f */
  fabric(f) {
    const swatch = h('span', { class: 'swatch' });
    swatch.style.background = f.color;
    return h('section', { class: 'fabric', 'aria-label': `${f.letter} ${f.name}` },
      h('h2', {}, swatch, ' ', h('b', {}, f.letter), ` ${f.name} `, h('span', { class: 'buy' }, measured(f.buy.replaceAll('**', '')))),
      f.uses && h('p', { class: 'dim' }, measured(f.uses)),
      f.motifs && h('p', {}, rich(f.motifs, this.board, this.view, `motifs ${f.letter}`)),
      h('ul', { class: 'list' }, f.pieces.map((/** @type {any} */ p) => h('li', { class: p.label === this.view.piece?.label ? 'lit' : '' },
        rich(p.says, this.board, this.view, `list ${f.letter} ${p.label}`), p.becomes && h('span', { class: 'dim' }, ' · ', measured(p.becomes.replaceAll('**', '')))))),
      h('div', { class: 'strips' }, f.strips.map((/** @type {any} */ st, /** @type {number} */ i) => h('figure', {},
        h('figcaption', {}, rich(st.says, this.board, this.view, `strip ${f.letter} ${i}`), st.left && h('span', { class: 'dim' }, ' · ', measured(st.left))),
        this.strip(f, st)))));
  }

  /** A strip, to the scale of its fabric. @param {any} f @param {any} st */
  strip(f, st) {
    const size = f.wide * 13 / 620, ink = f.dark ? '#fff' : '#1f2328';
    const svg = s('svg', { viewBox: `0 0 ${f.wide} ${st.height}`, role: 'img', 'aria-label': st.says.replaceAll('**', '') });
    for (const b of st.boxes) {
      const on = b.label && b.label === this.view.piece?.label;
      const g = s('g', { class: `box${on ? ' lit' : ''}${b.label ? '' : ' left'}`, 'data-piece': b.label || null, onclick: () => b.label && light(this.board, b.label) },
        s('title', {}, b.label || 'left'), s('rect', { x: b.x, y: b.y, width: b.width, height: b.height, fill: b.label ? f.color : 'none' }),
        b.rising && s('line', { x1: b.x, y1: b.y + b.height, x2: b.x + b.width, y2: b.y, stroke: ink }),
        b.falling && s('line', { x1: b.x, y1: b.y, x2: b.x + b.width, y2: b.y + b.height, stroke: ink }));
      if (b.motif) g.append(s('circle', { cx: b.motif.x, cy: b.motif.y, r: b.motif.r, fill: 'none', stroke: ink }));
      if (b.label && b.width > size * 0.62 * b.label.length && b.height > size * 0.9) {
        g.append(s('text', { x: b.x + b.width / 2, y: b.y + b.height / 2 + size * 0.34, 'font-size': size, fill: ink }, b.label));
      }
      svg.append(g);
    }
    return svg;
  }

  /** @param {Element} at */
  months(at) {
    const close = ask({ title: 'What is cut', near: at, body: [choices([
      { says: 'the whole quilt at once', chosen: !this.view.month, pick: () => look(this.board, { month: null }) },
      ...this.view.months.map((/** @type {any} */ m) => ({ says: m.says, chosen: m.number === this.view.month, pick: () => look(this.board, { month: String(m.number) }) })),
      { says: h('span', { class: 'dim' }, 'change the months …'), pick: () => this.board.go('months') },
    ], () => close())] });
  }
}
