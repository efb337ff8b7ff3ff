// Press: a block with an arrow on each seam. Point at a seam and press it the other way, or take the block apart along it first.

import { ask, choices, value } from './ask.js';
import { h, measured, put, s } from './dom.js';
import { cost, findings, light, link, listenForPieces, lit, look, pieceKeys, rich, unready, upper, word } from './plan.js';
import { terms } from './terms.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'press',
  keys: [['N, P', 'choose the next or the former seam'], ['T', 'press the chosen seam the other way'], ['O', 'press it open'], ['S', 'spin it at a crossing, or no longer'], ['F', 'take the block apart along it first'],
    ['C', 'press it as the plan finds best'], ...pieceKeys],
  open: (board) => new Press(board),
};

class Press {
  /** @type {any} */ view = null;
  element = h('section', { class: 'stay press', 'aria-label': 'Press' });
  /** Keys that came before the plan that they are about. @type {string[]} */
  early = [];

  /** @param {Board} board */
  constructor(board) {
    this.board = board;
    const pieces = listenForPieces(board, this.element, () => this.view);
    const on = (/** @type {KeyboardEvent} */ e) => this.key(e);
    addEventListener('keydown', on);
    this.close = () => { pieces(); removeEventListener('keydown', on); };
  }

  get block() { return this.view?.block; }
  get chosen() { return this.block?.seams.find((/** @type {any} */ m) => m.name === this.board.query.get('seam')); }
  /** Each seam once: those of equal units are one. @returns {any[]} */
  get seams() {
    const seen = new Set();
    return this.block.seams.filter((/** @type {any} */ m) => !seen.has(m.name) && seen.add(m.name));
  }

  month() { return this.block?.month ?? 0; }

  /** @param {Answer} answer */
  show(answer) {
    const v = this.view = answer.view, b = v.block;
    put(this.element,
      h('div', { class: 'top' }, h('div', { class: 'values' },
        b && value('block', h('strong', {}, b.title), b.name ? 'Block' : 'Sewn of the blocks', (at) => this.blocks(at)),
        v.sums && h('span', {}, measured(v.sums.replaceAll('**', ''))), terms(this.board, v.terms))),
      unready(v), lit(v, this.board),
      b && h('div', { class: 'middle' }, this.drawing(), h('div', { class: 'beside' }, this.words(), this.list())),
      b && h('p', { class: 'next' }, this.chosen ? '' : b.many ? 'There are more seams here than can be pointed at.' : b.seams.length ? ['Point at a seam, or choose it in the list, to press it otherwise. A ring marks seams that meet and do not nest. ', word('keys', () => this.board.keys())] : 'This block has no seam.'),
      b && h('p', { class: 'next' }, this.shown('layers', 'how thick the cloth lies'), b.name && this.shown('expect', 'what size it comes out when people sew it')),
      v.thick && h('p', { class: 'thick' }, measured(v.thick)),
      v.expect.length > 0 && h('ul', { class: 'expect', 'aria-label': 'What to expect' }, v.expect.map((/** @type {string} */ t) => h('li', {}, measured(plain(t))))),
      b && v.unmet.length > 0 && h('ul', { class: 'unmet', 'aria-label': 'What cannot nest', tabindex: '0' }, v.unmet.map((/** @type {string} */ t, /** @type {number} */ i) => h('li', {}, rich(t, this.board, v, `unmet ${i}`)))),
      b && b.first.length > 0 && h('p', {}, 'Taken apart first along ', b.first.map((/** @type {string} */ line, /** @type {number} */ i) => [`${line.replace(' ', ' to ')} `,
        word('as the plan finds best', () => void this.board.do({ do: 'take apart as computed', block: b.name, line: i + 1 }), `first ${i}`)]).flat()),
      findings(v.found),
      v.ready && !b && h('p', { class: 'next' }, 'No block of this quilt has a seam.'),
      cost(v, this.board));
    if (answer.stage >= 1 && !v.ready) this.early = []; // there will be no plan
    const early = b && this.early.shift();
    if (early) this.act(early);
  }

  /** The block with its seams. */
  drawing() {
    const b = this.block, unit = Math.max(b.width, b.height), lit = this.view.piece?.label;
    const svg = s('svg', { viewBox: `${-unit * 0.02} ${-unit * 0.02} ${b.width + unit * 0.04} ${b.height + unit * 0.04}`, role: 'img', 'aria-label': `${b.title} with the pressing of its seams` });
    for (const p of b.patches) {
      const on = lit && p.labels.includes(lit);
      svg.append(s('polygon', { class: `patch${on ? ' lit' : ''}`, points: p.points.map((/** @type {number[]} */ q) => q.join(',')).join(' '), fill: p.color, 'data-piece': p.labels.join(' ') || null,
        onclick: () => p.labels.length && light(this.board, p.labels[0]) }, s('title', {}, p.labels.length ? `${p.labels.join(', ')}, ${p.fabric}` : p.fabric)));
      if (on && wide(p.points) > unit * 0.14) svg.append(s('text', { x: p.at[0], y: p.at[1] + unit * 0.012, 'font-size': unit * 0.036, fill: p.dark ? '#fff' : '#1f2328' }, lit));
    }
    svg.append(s('rect', { class: 'line', x: 0, y: 0, width: b.width, height: b.height, fill: 'none' }));
    for (const p of b.patches) if (lit && p.labels.includes(lit)) svg.append(s('polygon', { class: 'rim', points: p.points.map((/** @type {number[]} */ q) => q.join(',')).join(' ') }));
    const chosen = this.chosen;
    for (const m of b.seams) {
      const on = chosen?.name === m.name;
      svg.append(s('g', { class: `seam${on ? ' chosen' : ''}${m.said ? ' said' : ''}`, 'data-seam': m.name, onclick: () => this.choose(on ? null : m.name) }, s('title', {}, plain(m.is)),
        s('line', { class: 'hit', x1: m.from[0], y1: m.from[1], x2: m.to[0], y2: m.to[1] }), s('line', { class: 'line', x1: m.from[0], y1: m.from[1], x2: m.to[0], y2: m.to[1] })));
    }
    for (const m of b.seams) {
      for (const part of stretches(m)) svg.append(this.arrow(part, unit, chosen?.name === m.name));
    }
    for (const m of b.seams) {
      for (const [i, x] of m.spins.filter((/** @type {any} */ p) => p.spun).entries()) svg.append(pinwheel(m, x.at, i, unit, () => this.choose(m.name)));
      if (chosen?.name === m.name) for (const x of m.spins) if (!x.spun && x.point) svg.append(s('circle', { class: 'spin', cx: x.at[0], cy: x.at[1], r: unit * 0.016, onclick: () => this.spinWord(x)?.click() }, s('title', {}, 'This crossing can be spun.')));
    }
    const done = new Set();
    for (const m of b.meets) {
      const key = m.at.map((/** @type {number} */ x) => x.toFixed(3)).join();
      if (m.is !== 'nested' && !done.has(key)) svg.append(s('circle', { class: `meet ${m.is}`, cx: m.at[0], cy: m.at[1], r: unit * 0.022 }, s('title', {}, m.is === 'same' ? 'These seams lie the same way: they do not nest.' : 'A seam is pressed open here.')));
      done.add(key);
    }
    for (const c of this.view.layers) {
      const says = s('title', {}, `${c.layers} layers of cloth`);
      svg.append(c.layers > 5 ? s('g', { class: 'layers' }, says, s('circle', { cx: c.at[0], cy: c.at[1], r: unit * 0.024 }), s('text', { x: c.at[0], y: c.at[1] + unit * 0.011, 'font-size': unit * 0.03 }, c.layers))
        : s('g', { class: 'layers' }, says, s('circle', { class: 'few', cx: c.at[0], cy: c.at[1], r: unit * 0.006 })));
    }
    svg.style.setProperty('--ratio', String(b.width / b.height));
    return svg;
  }

  /** The arrow across a seam; a pair of small lines where it is pressed open. @param {any} m @param {number} unit @param {boolean} on */
  arrow(m, unit, on) {
    const x = (m.from[0] + m.to[0]) / 2, y = (m.from[1] + m.to[1]) / 2, dx = m.to[0] - m.from[0], dy = m.to[1] - m.from[1], l = Math.hypot(dx, dy);
    const a = Math.min(unit * 0.03, l * 0.3), [wx, wy] = m.way, ux = dx / l, uy = dy / l;
    let d;
    if (wx || wy) {
      const tx = x + wx * a, ty = y + wy * a;
      d = `M${x - wx * a * 0.5} ${y - wy * a * 0.5}L${tx} ${ty}M${tx - wx * a * 0.45 + ux * a * 0.35} ${ty - wy * a * 0.45 + uy * a * 0.35}L${tx} ${ty}L${tx - wx * a * 0.45 - ux * a * 0.35} ${ty - wy * a * 0.45 - uy * a * 0.35}`;
    } else {
      d = `M${x - uy * a + ux * a * 0.4} ${y + ux * a + uy * a * 0.4}L${x + uy * a + ux * a * 0.4} ${y - ux * a + uy * a * 0.4}M${x - uy * a - ux * a * 0.4} ${y + ux * a - uy * a * 0.4}L${x + uy * a - ux * a * 0.4} ${y - ux * a - uy * a * 0.4}`;
    }
    return s('g', { class: `way${on ? ' chosen' : ''}${m.said ? ' said' : ''}` }, s('path', { class: 'halo', d }), s('path', { d }));
  }

  /** What can be done with the chosen seam. */
  words() {
    const m = this.chosen, b = this.block;
    if (!m) return null;
    const open = !m.way[0] && !m.way[1];
    const own = m.said && m.of === b.name ? m.arrow : 0;
    const spun = m.spins.some((/** @type {any} */ x) => x.said); // an arrow presses the whole of a seam
    const many = b.seams.filter((/** @type {any} */ n) => n.name === m.name).length;
    const press = (/** @type {string} */ points, more = {}) => void this.board.do({ do: 'press seam', ...(b.name ? { block: b.name } : {}), points, ...(own ? { arrow: own } : {}), ...more });
    return h('div', { class: 'doing-seam', role: 'group', 'aria-label': 'The chosen seam' },
      h('p', {}, rich(upper(m.is), this.board, this.view, 'chosen'), '.'),
      h('p', { class: 'dim' }, [m.said && `${m.of === b.name ? 'You have' : `${m.of || 'The set'} has`} said so.`, many > 1 && `It lies here ${many} times; each is pressed as its unit is.`, m.kind !== 'straight' && `It is ${m.kind}.`].filter(Boolean).join(' ')),
      h('p', { class: 'next' },
        m.turn && !spun && (open ? [word('press it to one side', () => press(m.keep)), word('press it to the other', () => press(m.turn))] : word('press it the other way', () => press(m.turn))),
        m.keep && !open && !spun && word('press it open', () => press(m.keep, { open: true })),
        ...this.spins(m),
        m.said && word('as the plan finds best', () => void this.board.do({ do: 'press as computed', ...(m.of ? { block: m.of } : {}), arrow: m.arrow })),
        m.first && !b.first.includes(m.first) && word('take this apart first', () => void this.board.do({ do: 'take apart first', block: b.name, points: m.first })),
        word('leave it', () => this.choose(null))),
      b.cells && h('p', { class: 'dim' }, 'This block is laid out of cells and is taken apart along them. ', link('draft', { block: b.name }, 'its cells')),
      !m.turn && h('p', { class: 'dim' }, 'This seam cannot be pointed at from one patch to the next.'),
      !b.name && h('p', { class: 'dim' }, 'How the top is taken apart follows from the set. ', link('set', {}, 'its rows')));
  }

  /** Words that spin the seam at a crossing, or no longer. @param {any} m @returns {HTMLElement[]} */
  spins(m) {
    const b = this.block, own = m.said && m.of === b.name;
    return m.spins.flatMap((/** @type {any} */ x) => {
      const at = m.spins.length > 1 ? ` at ${x.point}` : '';
      if (x.said) return [word(`do not spin it${at}`, () => void this.board.do({ do: 'press as computed', ...(x.of ? { block: x.of } : {}), arrow: x.arrow }), `spin ${x.point}`)];
      if (x.spun || !x.point || m.said && !own) return [];
      return [word(`spin it${at}`, () => void this.board.do({ do: 'press seam', ...(b.name ? { block: b.name } : {}), points: x.point, spun: true, ...(own ? { arrow: m.arrow } : {}) }), `spin ${x.point}`)];
    });
  }

  /** The word that spins a crossing. @param {any} x @returns {HTMLElement|undefined} */
  spinWord(x) { return /** @type {HTMLElement[]} */ ([...this.element.querySelectorAll('.doing-seam .word')]).find((w) => w.dataset.focus === `spin ${x.point}`); }

  /** Every seam in words. */
  list() {
    if (this.block.many) return null;
    return h('ol', { class: 'seams', 'aria-label': 'Seams', tabindex: '0' }, this.seams.map((m) => h('li', {}, h('button', {
      type: 'button', class: 'choice', 'data-focus': `seam ${m.name}`, 'data-seam': m.name, 'aria-current': this.chosen?.name === m.name ? 'true' : null, onclick: () => this.choose(this.chosen?.name === m.name ? null : m.name),
    }, measured(upper(plain(m.is))), m.said && h('span', { class: 'dim' }, m.of === this.block.name ? ' · as you say' : ` · as ${m.of || 'the set'} says`)))));
  }

  /** A word that shows or hides something. @param {string} what @param {string} says */
  shown(what, says) {
    const on = this.board.query.has(what);
    return word(on ? `hide ${says}` : `show ${says}`, () => look(this.board, { [what]: on ? null : '1' }), what);
  }

  /** @param {string|null} name */
  choose(name) { look(this.board, { seam: name }); }

  /** @param {KeyboardEvent} e */
  key(e) {
    if (document.querySelector('dialog[open]') || e.ctrlKey || e.metaKey || e.altKey) return;
    const key = e.key.toLowerCase();
    if (this.block) this.act(key);
    else if (this.view && !this.view.ready) this.early.push(key); // the plan of the last change is not there yet: it waits for it
  }

  /** @param {string} key */
  act(key) {
    const all = this.seams;
    if ((key === 'n' || key === 'p') && all.length) {
      const now = all.findIndex((m) => m.name === this.chosen?.name);
      this.choose(all[(now + (key === 'n' ? 1 : -1) + all.length + (now < 0 && key === 'p' ? 1 : 0)) % all.length].name);
      return;
    }
    const press = { t: ['press it the other way', 'press it to the other'], o: ['press it open'], f: ['take this apart first'], c: ['as the plan finds best'] }[key];
    const words = /** @type {HTMLElement[]} */ ([...this.element.querySelectorAll('.doing-seam .word')]);
    words.find((w) => press?.includes(w.textContent ?? '') || key === 's' && w.dataset.focus?.startsWith('spin '))?.click();
  }

  /** @param {Element} at */
  blocks(at) {
    const close = ask({ title: 'Blocks', near: at, body: [choices(this.view.blocks.map((/** @type {any} */ b) => ({
      says: [b.title, b.says && h('span', { class: 'dim' }, ` · ${b.says}`)], chosen: b.name === this.block.name,
      pick: () => look(this.board, b.name ? { block: b.name, of: null, seam: null } : { block: null, of: 'top', seam: null }),
    })), () => close())] });
  }
}

/** A seam from crossing to crossing: where it is spun it turns over. @param {any} m @returns {any[]} */
function stretches(m) {
  const ends = [m.from, ...m.spins.filter((/** @type {any} */ x) => x.spun).map((/** @type {any} */ x) => x.at), m.to];
  return ends.slice(1).map((to, i) => ({ ...m, from: ends[i], to, way: m.way.map((/** @type {number} */ w) => (i % 2 ? -w : w)) }));
}

/** The mark of the crossing, number i along the seam, at which it is spun: vanes that turn as the allowances do. @param {any} m @param {number[]} at @param {number} i @param {number} unit @param {() => void} pick */
function pinwheel(m, at, i, unit, pick) {
  const l = Math.hypot(m.to[0] - m.from[0], m.to[1] - m.from[1]), r = unit * 0.02;
  let arm = [(m.from[0] - m.to[0]) / l, (m.from[1] - m.to[1]) / l], bend = m.way.map((/** @type {number} */ w) => (i % 2 ? -w : w)), d = '';
  for (let k = 0; k < 4; k++) {
    d += `M${at[0]} ${at[1]}L${at[0] + arm[0] * r} ${at[1] + arm[1] * r}L${at[0] + (arm[0] + bend[0]) * r / 2} ${at[1] + (arm[1] + bend[1]) * r / 2}Z`;
    [arm, bend] = [bend, arm.map((/** @type {number} */ x) => -x)];
  }
  return s('g', { class: 'pinwheel', onclick: pick }, s('title', {}, 'This crossing is spun: its allowances turn that way round.'), s('circle', { cx: at[0], cy: at[1], r: r * 1.25 }), s('path', { d }));
}

/** The shorter side of the box round a patch. @param {number[][]} points */
function wide(points) {
  const side = (/** @type {number} */ k) => Math.max(...points.map((p) => p[k])) - Math.min(...points.map((p) => p[k]));
  return Math.min(side(0), side(1));
}

/** @param {string} text */
function plain(text) { return text.replaceAll('**', ''); }
