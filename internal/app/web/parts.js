// What a set is made of besides its blocks, as values that are clicked: rows, repeat, sashing, triangles, borders, binding.

import { ask, choices, line, value } from './ask.js';
import { h, measured, put } from './dom.js';
import { rows } from './set.js';
import { swatch } from './quilt.js';
import { bare } from './terms.js';

/** @typedef {import('./dom.js').Child} Child */

export class Parts {
  element = h('dl', { class: 'parts' });

  /** @param {import('./board.js').Board} board @param {{view: any}} place */
  constructor(board, place) {
    this.board = board;
    this.place = place;
  }

  get view() { return this.place.view; }

  /** @param {import('./talk.js').Op[]} ops */
  do(...ops) { void this.board.do(...ops); }

  /** @param {any} v */
  show(v) {
    if (!v.laid) {
      put(this.element, this.part('Rows', this.blocks().length > 0 && value('rows', 'lay them', 'Rows', () => this.lay(this.blocks()[0].name))));
      return;
    }
    const s = v.sashing, t = v.triangles, point = v.style === 'on point';
    put(this.element,
      this.part('Rows', value('rows', rows(v).replace(', on point', ''), 'Rows', (at) => this.rows(at)), value('style', v.style, 'How they lie', (at) => this.style(at)),
        value('repeat', v.across * v.down > 1 ? `repeated ${v.across} × ${v.down}` : 'not repeated', 'Repeat', (at) => this.repeat(at))),
      t && this.part('Triangles', this.fabric('triangles', t.fabric, 'Fabric of the triangles', ['set', 'triangles', 'fabric']),
        value('float', t.float ? [...measured(t.says), ' float'] : 'no float', 'Float', (at) => this.float(at))),
      this.part('Sashing', s ? [
        value('sashing', measured(s.says), 'Width of the sashing', (at) => this.length(at, 'Width of the sashing', s.width, ['set', 'sashing', 'width'], 'no sashing', ['set', 'sashing'])),
        this.fabric('sashing fabric', s.fabric, 'Fabric of the sashing', ['set', 'sashing', 'fabric']),
        value('posts', s.posts ? ['posts ', this.cloth(s.posts)] : 'no posts', 'Posts where it crosses', (at) => this.choose(at, 'Posts', ['set', 'sashing', 'posts'], s.posts, 'no posts')),
        value('outside', s.outside ? 'outside too' : 'only between', 'Around the blocks', () => this.do(s.outside
          ? { do: 'drop', at: ['set', 'sashing', 'outside'] } : { do: 'put', at: ['set', 'sashing', 'outside'], value: true })),
      ] : value('sashing', 'none', 'Sashing', (at) => this.sashing(at))),
      v.borders.map((/** @type {any} */ b, /** @type {number} */ i) => this.border(b, i)),
      this.part(v.borders.length ? '' : 'Borders', h('button', { type: 'button', class: 'word', 'data-focus': 'add border', onclick: (/** @type {Event} */ e) => this.addBorder(/** @type {Element} */ (e.currentTarget)) }, v.borders.length ? 'another border' : 'add a border')),
      this.part('Binding', v.binding ? [
        value('binding', measured(v.binding.says), 'Width of the strips', (at) => this.length(at, 'Strips for the binding', v.binding.strip, ['finish', 'binding', 'strip'], 'no binding', ['finish', 'binding'])),
        this.fabric('binding fabric', v.binding.fabric, 'Fabric of the binding', ['finish', 'binding', 'fabric']),
        value('bias', v.binding.cut, 'How it is cut', () => this.do({ do: 'put', at: ['finish', 'binding', 'cut'], value: v.binding.cut === 'bias' ? 'straight' : 'bias' })),
      ] : value('binding', 'none', 'Binding', (at) => this.pick(at, 'Bind it with', '', (l) => this.do({ do: 'put', at: ['finish', 'binding'], value: { fabric: l } })))),
      this.part('Backing', v.backing ? [
        value('backing', v.backing.name || 'unnamed', 'Name of the backing', (at) => this.ask(at, 'The backing is called', 'Its name', v.backing.name, (t) => this.do({ do: 'put', at: ['finish', 'backing', 'name'], value: t }), 'no backing', ['finish', 'backing'])),
        value('backing width', measured(`${v.backing.width} ${v.measure} wide`), 'Width of the backing', (at) => this.length(at, 'Usable width of the backing', v.backing.width, ['finish', 'backing', 'width'], '', [])),
        value('backing overhang', [...measured(v.backing.over), ' over'], 'How far the backing goes beyond the quilt on each side', (at) => this.length(at, 'The backing goes beyond the quilt by', v.backing.overhang, ['finish', 'backing', 'overhang'], '', [])),
      ] : value('backing', 'none', 'Backing', (at) => this.ask(at, 'Back it with', 'What the cloth is called', 'Backing', (name) => this.do({ do: 'put', at: ['finish', 'backing'], value: { name } })))),
      this.part('Batting', v.batting ? value('batting', [...measured(v.batting.over), ' over'], 'How far the batting goes beyond the quilt on each side', (at) => this.length(at, 'The batting goes beyond the quilt by', v.batting.overhang, ['finish', 'batting', 'overhang'], 'no batting', ['finish', 'batting']))
        : value('batting', 'none', 'Batting', () => this.do({ do: 'put', at: ['finish', 'batting', 'overhang'], value: v.measure === 'cm' ? '10' : '4' }))),
      this.part('Cloth', value('cloth', `${v.fabrics.length} ${v.fabrics.length === 1 ? 'fabric' : 'fabrics'}`, 'Colours, widths, prints, amounts', () => this.board.go('cloth'))),
    );
  }

  /** @param {string} name @param {...(Child|Child[])} values */
  part(name, ...values) {
    return h('div', {}, h('dt', {}, name), h('dd', {}, ...values.flat().flatMap((v) => (v ? [v, ' '] : []))));
  }

  blocks() { return this.view.blocks.filter((/** @type {any} */ b) => b.size); }

  /** @param {string} letter */
  named(letter) { return this.view.fabrics.find((/** @type {any} */ f) => f.letter === letter) ?? { letter, name: '', color: '' }; }

  /** A fabric as it stands in a value. @param {string} letter */
  cloth(letter) {
    const f = this.named(letter);
    return h('span', { class: 'stuff' }, swatch(f.color), `${f.letter} ${f.name}`);
  }

  /** A fabric that is clicked and changed. @param {string} name @param {string} letter @param {string} label @param {(string|number)[]} at */
  fabric(name, letter, label, at) {
    return value(name, this.cloth(letter), label, (e) => this.choose(e, label, at, letter, ''));
  }

  /**
   * Asks for a fabric. @param {Element} near @param {string} title @param {string} now @param {(letter: string) => void} pick
   * @param {{says: string, pick: () => void}[]} others
   */
  pick(near, title, now, pick, ...others) {
    const close = ask({ title, near, body: [choices([
      ...this.view.fabrics.map((/** @type {any} */ f) => ({ says: [swatch(f.color), ` ${f.letter} ${f.name}`], chosen: f.letter === now, pick: () => pick(f.letter) })),
      ...others,
    ], () => close())] });
  }

  /** Asks for the fabric at a place of the document. @param {Element} near @param {string} title @param {(string|number)[]} at @param {string} now @param {string} none how it is said that there is none; '' where there must be one */
  choose(near, title, at, now, none) {
    this.pick(near, title, now, (value) => this.do({ do: 'put', at, value }), ...(now && none ? [{ says: none, pick: () => this.do({ do: 'drop', at }) }] : []));
  }

  /** Asks for a length. @param {Element} near @param {string} title @param {string} now @param {(string|number)[]} at @param {string} none @param {(string|number)[]} drop */
  length(near, title, now, at, none, drop) {
    const close = ask({ title, near, body: [
      line({ label: this.unit(), value: now, word: 'set', done: (text) => this.do({ do: 'put', at, value: bare(text) }) }, () => close()),
      none && choices([{ says: none, pick: () => this.do({ do: 'drop', at: drop }) }], () => close()),
    ] });
  }

  /**
   * Asks for a line of text. @param {Element} near @param {string} title @param {string} label @param {string} now @param {(text: string) => void} done
   * @param {string} [none] @param {(string|number)[]} [drop]
   */
  ask(near, title, label, now, done, none = '', drop = []) {
    const close = ask({ title, near, body: [
      line({ label, value: now, word: 'set', done: (text) => { if (text) done(text); } }, () => close()),
      none && choices([{ says: none, pick: () => this.do({ do: 'drop', at: drop }) }], () => close()),
    ] });
  }

  unit() { return this.view.measure === 'cm' ? 'Centimetres, as in 5 or 4.5' : 'Inches, as in 2 or 1 1/2'; }

  /** Asks for the rows to begin with. @param {string} name */
  lay(name) {
    const close = ask({ title: `Lay ${name} in rows`, body: [line({ label: 'Rows and columns, as in 4 x 3', value: '4 x 3', word: 'lay', done: (text) => {
      const [r, c] = pair(text);
      this.do({ do: 'lay rows', rows: r, columns: c, cell: name });
    } }, () => close())] });
  }

  /** @param {Element} near */
  rows(near) {
    const v = this.view, point = v.style === 'on point', long = point ? Math.ceil(v.rows / 2) : v.rows;
    const close = ask({ title: 'Rows', near, body: [
      line({ label: 'Rows and columns, as in 4 x 3', value: `${long} x ${v.columns}`, word: 'set', done: (text) => {
        const [r, c] = pair(text), ops = [];
        if (r < 1 || c < 1 || r > 100 || c > 100 || !Number.isInteger(r * c)) return this.board.say('Rows and columns are whole numbers from 1 to 100.', true);
        for (let i = v.columns; i < c; i++) ops.push({ do: 'add column' });
        for (let i = v.columns; i > c; i--) ops.push({ do: 'remove column', column: i });
        for (let i = long; i < r; i++) ops.push({ do: 'add row' });
        for (let i = long; i > r; i--) ops.push({ do: 'remove row', row: point ? 2 * i - 1 : i });
        if (ops.length) this.do(...ops);
      } }, () => close()),
      h('p', { class: 'dim' }, 'What is there stays; new fields are like their neighbours.'),
    ] });
  }

  /** @param {Element} near */
  style(near) {
    const point = this.view.style === 'on point';
    const close = ask({ title: 'The blocks lie', near, body: [choices([
      { says: 'straight', chosen: !point, pick: () => { if (point) this.do({ do: 'lay straight' }); } },
      { says: 'on point: standing on a corner', chosen: point, pick: () => {
        if (!point) this.pick(near, 'Triangles that square it up are of', '', (triangles) => this.do({ do: 'lay on point', triangles }));
      } },
    ], () => close())] });
  }

  /** @param {Element} near */
  repeat(near) {
    const v = this.view;
    const close = ask({ title: 'Repeat', near, body: [line({ label: 'Lay these rows again, across x down', value: `${v.across} x ${v.down}`, word: 'set', done: (text) => {
      const [a, d] = pair(text);
      this.do(a === 1 && d === 1 ? { do: 'drop', at: ['set', 'repeat'] } : { do: 'put', at: ['set', 'repeat'], value: `${a} x ${d}` });
    } }, () => close())] });
  }

  /** @param {Element} near */
  float(near) {
    const t = this.view.triangles;
    this.length(near, 'The blocks float by', t.float || '1/2', ['set', 'triangles', 'float'], t.float && 'no float', ['set', 'triangles', 'float']);
  }

  /** @param {Element} near */
  sashing(near) {
    const width = this.view.measure === 'cm' ? '5' : '2';
    this.pick(near, 'Sashing is of', '', (fabric) => this.do({ do: 'put', at: ['set', 'sashing'], value: { width, fabric } }));
  }

  /** @param {any} b @param {number} i */
  border(b, i) {
    const n = i + 1, count = this.view.borders.length, at = ['set', 'borders', n];
    return this.part(i ? '' : 'Borders',
      value(`border ${n}`, count === 1 ? 'round it' : i === 0 ? 'innermost' : i === count - 1 ? 'outermost' : `${n}.`, `Border ${n}, from the inside out`, (e) => this.order(e, n)),
      value(`border ${n} width`, measured(b.says), `Width of border ${n}`, (e) => this.length(e, `Width of border ${n}`, b.width, [...at, 'width'], '', [])),
      this.fabric(`border ${n} fabric`, b.fabric, `Fabric of border ${n}`, [...at, 'fabric']),
      value(`border ${n} corners`, b.corner ? ['corners ', this.cloth(b.corner)] : b.corners, `Corners of border ${n}`, (e) => this.pick(e, 'Squares in the corners, of', b.corner,
        (l) => this.do({ do: 'put', at: [...at, 'corners'], value: { fabric: l } }), { says: 'butted: no squares', pick: () => this.do({ do: 'put', at: [...at, 'corners'], value: 'butted' }) },
        { says: 'mitred: at 45 degrees', pick: () => this.do({ do: 'put', at: [...at, 'corners'], value: 'mitred' }) })));
  }

  /** @param {Element} near @param {number} n */
  order(near, n) {
    const count = this.view.borders.length;
    const close = ask({ title: `Border ${n}`, near, body: [choices([
      ...(n > 1 ? [{ says: 'one further in', pick: () => this.do({ do: 'move border', border: n, before: n - 1 }) }] : []),
      ...(n < count ? [{ says: 'one further out', pick: () => this.do({ do: 'move border', border: n, before: n + 2 > count ? 0 : n + 2 }) }] : []),
      { says: 'another one inside it', pick: () => this.addBorder(near, n) },
      { says: 'remove it', pick: () => this.do({ do: 'remove border', border: n }) },
    ], () => close())] });
  }

  /** @param {Element} near @param {number} [before] */
  addBorder(near, before = 0) {
    const width = this.view.measure === 'cm' ? '10' : '4';
    this.pick(near, 'The border is of', '', (fabric) => this.do({ do: 'add border', before, is: { width, fabric } }));
  }
}


/** @param {string} text @returns {[number, number]} */
function pair(text) {
  const [a, b = a] = text.split(/\s*[x×, ]\s*/).map(Number);
  return [a, b];
}
