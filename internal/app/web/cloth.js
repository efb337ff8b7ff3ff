// Cloth: the fabrics, how much of each is needed, and other sets of fabrics that are tried without touching the first.

import { ask, choices, line, value } from './ask.js';
import { h, measured, put, s } from './dom.js';
import { Photographs, taken } from './photograph.js';
import { frame, quilt, swatch } from './quilt.js';
import { bare } from './terms.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */
/** @typedef {import('./talk.js').Op} Op */

/** @type {import('./board.js').Place} */
export default {
  name: 'cloth',
  keys: [['Enter or space', 'changes the value that has the focus']],
  open: (board) => new Cloth(board),
};

/** Colours to begin a fabric with, none of them anyone's. */
const begun = ['#7fa3a0', '#2b5a68', '#8a5a44', '#b9b3c6', '#5f6f3a', '#b5838d', '#3d405b', '#e0b1a0'];

class Cloth {
  /** @type {any} */ view = null;
  text = '';
  photographs = new Photographs(() => {
    this.text = '';
    if (this.element.isConnected && this.board.answer) this.show(this.board.answer);
  });

  /** @param {Board} board */
  constructor(board) {
    this.board = board;
    this.head = h('div', { class: 'values' });
    this.list = h('ul', { class: 'fabrics', 'aria-label': 'Fabrics' });
    this.drawings = h('div', { class: 'drawings' });
    this.next = h('p', { class: 'next' });
    this.found = h('ol', { class: 'found', 'aria-label': 'To look at' });
    this.element = h('section', { class: 'stay cloth', 'aria-label': 'Cloth' }, h('div', { class: 'top' }, this.head),
      h('div', { class: 'middle' }, this.list, h('div', { class: 'right' }, this.drawings, this.next, this.found)));
  }

  month() { return this.view?.tried ? -1 : this.view?.month ?? 0; }

  /** @param {Answer} answer */
  show(answer) {
    const v = this.view = answer.view, text = JSON.stringify(v);
    if (text === this.text) return;
    this.text = text;
    const of = v.tried ? 'tried' : 'own';
    this.element.classList.toggle('trying', v.tried !== '');
    put(this.head,
      h('strong', {}, `${v.fabrics.length} ${v.fabrics.length === 1 ? 'fabric' : 'fabrics'}`),
      value('set of fabrics', v.tried ? `trying ${v.tried}` : 'the quilt’s own', 'Set of fabrics', (at) => this.sets(at)),
      value('grey', v.grey ? 'in grey' : 'in colour', 'How the quilt is shown', () => this.go({ grey: v.grey ? '' : '1' })),
      value('width', measured(`cloth ${v.width} wide`), 'Usable width of cloth that says nothing else', (at) => this.line(at, 'Usable width of cloth', this.unit(), v.width.replace(/\s*(in|cm)$/, ''),
        (t) => this.do({ do: 'put', at: ['width'], value: bare(t) }))));
    put(this.list, v.fabrics.map((/** @type {any} */ f, /** @type {number} */ i) => (of === 'own' ? this.own(f, i) : this.tried(f, v.in[i], i))));
    this.draw();
    put(this.next, ...this.words());
    const alike = v.tried ? v.inAlike : v.alike;
    put(this.found, alike.map((/** @type {any} */ a) => h('li', { class: 'warning nowhere' }, `${a.says}.`)),
      v.findings.map((/** @type {any} */ f) => h('li', { class: `${f.severity} nowhere` }, upper(f.says), f.remedy && h('span', { class: 'remedy' }, ` ${upper(f.remedy)}.`))),
      v.grey && !alike.length && h('li', { class: 'nowhere dim' }, 'No two fabrics that lie side by side are alike in lightness.'));
  }

  /** @param {Record<string, string>} to */
  go(to) {
    const q = { palette: this.view.tried, grey: this.view.grey ? '1' : '', ...to };
    this.board.go('cloth', Object.fromEntries(Object.entries(q).filter(([, v]) => v)));
  }

  /** @param {Op[]} ops */
  do(...ops) { return this.board.do(...ops); }

  unit() { return this.view.measure === 'cm' ? 'Centimetres' : 'Inches'; }

  /** @param {string} says @param {(at: Element) => void} act */
  word(says, act) {
    return h('button', { type: 'button', class: 'word', 'data-focus': says, onclick: (/** @type {Event} */ e) => act(/** @type {Element} */ (e.currentTarget)) }, says);
  }

  /**
   * Asks for a line. @param {Element} near @param {string} title @param {string} label @param {string} now @param {(text: string) => void} done
   * @param {{says: string, pick: () => void}[]} [other]
   */
  line(near, title, label, now, done, other = []) {
    const close = ask({ title, near, body: [line({ label, value: now, word: 'set', done }, () => close()), other.length > 0 && choices(other, () => close())] });
  }

  // The quilt's own fabrics.

  /** @param {any} f @param {number} i */
  own(f, i) {
    const at = ['fabrics', f.letter], name = `${f.letter} ${f.name}`;
    const v = (/** @type {string} */ key, /** @type {any} */ says, /** @type {string} */ label, /** @type {(at: Element) => void} */ change) => value(`${f.letter} ${key}`, says, `${label} of ${name}`, change);
    return h('li', {},
      this.color(f.color, `Colour of ${name}`, `${f.letter} color`, f.pictured, (color) => void this.do({ do: 'put', at: [...at, 'color'], value: color })),
      h('div', { class: 'is' },
        h('div', { class: 'name' }, v('letter', h('b', {}, f.letter), 'Key letter', (e) => this.letter(e, f)), v('name', f.name, 'Name', (e) => this.line(e, `Name of ${name}`, 'What the reader of the pattern calls it', f.name,
          (t) => void this.do({ do: 'put', at: [...at, 'name'], value: t }))), v('more', 'more', 'More', (e) => this.more(e, f))),
        h('div', { class: 'about' },
          f.widthSays && v('width', measured(f.widthSays), 'Width', (e) => this.width(e, f)),
          v('print', f.print === 'plain' ? 'plain' : f.print === 'two-way' ? 'striped' : 'with a top', 'Print', (e) => this.print(e, f)),
          f.print !== 'plain' && v('upright', f.upright === 'quilt' ? 'stays upright in the quilt' : 'turns with its block', 'What its print does', () => void this.do(f.upright === 'quilt'
            ? { do: 'drop', at: [...at, 'upright'] } : { do: 'put', at: [...at, 'upright'], value: 'quilt' })),
          v('sold', measured(f.soldSays), 'How it is sold', (e) => this.sold(e, f)),
          f.have && v('have', ['on the shelf ', ...measured(f.haveSays)], 'What is on the shelf', (e) => this.have(e, f)),
          f.assorted > 1 && v('assorted', `${f.assorted} different cloths`, 'How many cloths play the part', (e) => this.assorted(e, f)),
          f.motif && v('motif', ['centred on motifs of ', ...measured(f.motifSays)], 'Motif', (e) => this.motif(e, f)),
          f.swatch && v('photograph', this.scale(f), 'Photograph', (e) => this.photograph(e, f)))),
      h('div', { class: 'needs' }, f.buy && h('strong', {}, measured(/^0\b/.test(f.buy) ? 'nothing to buy' : f.buy)),
        f.once && h('div', {}, f.monthly ? ['at once ', ...measured(f.once)] : f.sold === 'bolt' ? ['cutting takes ', ...measured(f.once)] : `${f.once} cut`),
        f.monthly && h('div', {}, 'month by month ', ...measured(f.monthly))));
  }

  /**
   * A colour that is clicked and changed; over it the photograph where there is one.
   * @param {string} color @param {string} label @param {string} name for the focus @param {string} photograph @param {(color: string) => void} done
   */
  color(color, label, name, photograph, done) {
    const input = /** @type {HTMLInputElement} */ (h('input', { type: 'color', value: color, 'aria-label': label, title: label, 'data-focus': name, onchange: () => { if (input.value !== color) done(input.value); } }));
    return h('span', { class: 'colour' }, input, photograph && h('img', { src: photograph, alt: '' }));
  }

  /** How many of the document's measure an inch is. */
  get inch() { return this.view.measure === 'cm' ? 2.54 : 1; }

  /** @param {any} f */
  scale(f) {
    const is = this.photographs.of(f, this.inch);
    if (!is) return 'photograph';
    const across = `${+(is.width * this.inch).toFixed(1)} ${this.view.measure}`;
    return is.known ? `photograph of ${across} of it` : `photograph, taken to show ${across}`;
  }

  /** @param {Element} near @param {any} f */
  letter(near, f) {
    this.line(near, `Key letter of ${f.name}`, 'One or two capital letters', f.letter, (to) => void this.do({ do: 'rename fabric', fabric: f.letter, to: to.toUpperCase() }), [
      ...(this.view.fabrics[0] !== f ? [{ says: 'first of the list', pick: () => void this.do({ do: 'move fabric', fabric: f.letter, before: this.view.fabrics[0].letter }) }] : []),
      ...(this.view.fabrics.at(-1) !== f ? [{ says: 'last of the list', pick: () => void this.do({ do: 'move fabric', fabric: f.letter }) }] : [])]);
  }

  /** @param {Element} near @param {any} f */
  width(near, f) {
    const at = ['fabrics', f.letter, 'width'];
    this.line(near, `Width of ${f.letter} ${f.name}`, `${this.unit()} between the selvages`, f.width || f.widthSays.replace(/\s*(in|cm) wide$/, ''), (t) => void this.do({ do: 'put', at, value: bare(t) }),
      f.width ? [{ says: `as the quilt’s: ${this.view.width}`, pick: () => void this.do({ do: 'drop', at }) }] : []);
  }

  /** @param {Element} near @param {any} f */
  print(near, f) {
    const at = ['fabrics', f.letter, 'print'];
    const is = (/** @type {string} */ word, /** @type {string} */ says) => ({ says, chosen: f.print === word, pick: () => {
      if (word === f.print) return;
      // What a plain cloth stays upright in says nothing any more.
      void this.do(word === 'plain' ? { do: 'drop', at } : { do: 'put', at, value: word }, ...(word === 'plain' && f.upright === 'quilt' ? [{ do: 'drop', at: ['fabrics', f.letter, 'upright'] }] : []));
    } });
    const close = ask({ title: `Print of ${f.letter} ${f.name}`, near, body: [choices([
      is('plain', 'plain: it may lie any way round'), is('two-way', 'striped: it lies one way or upside down'), is('one-way', 'with a top: it lies one way only'),
    ], () => close())] });
  }

  /** @param {Element} near @param {any} f */
  sold(near, f) {
    const at = ['fabrics', f.letter, 'sold'];
    const is = (/** @type {string} */ word, /** @type {string} */ says) => ({ says, chosen: f.sold === word, pick: () => { if (word !== f.sold) void this.do(word === 'bolt' ? { do: 'drop', at } : { do: 'put', at, value: word }); } });
    const close = ask({ title: `${f.letter} ${f.name} is sold`, near, body: [
      choices([is('bolt', 'off the bolt, by length'), is('fat quarter', 'in fat quarters'), is('fat eighth', 'in fat eighths')], () => close()),
      line({ label: `Or in sheets, as in ${this.view.measure === 'cm' ? '25 x 25' : '10 x 10'}`, value: f.sheet, word: 'set', done: (t) => void this.do({ do: 'put', at, value: { sheet: pair(t) } }) }, () => close()),
    ] });
  }

  /** @param {Element} near @param {any} f */
  have(near, f) {
    const at = ['fabrics', f.letter, 'have'];
    this.line(near, `${f.letter} ${f.name} on the shelf`, 'Pieces that are there and used first, as in 18 x 21, 6 1/2 x 40', f.have, (t) => {
      const pieces = t.split(/\s*[,;]\s*/).filter(Boolean).map(pair);
      if (pieces.length || f.have) void this.do(pieces.length ? { do: 'put', at, value: pieces } : { do: 'drop', at });
    }, f.have ? [{ says: 'none any more', pick: () => void this.do({ do: 'drop', at }) }] : []);
  }

  /** What is seldom said of a fabric. @param {Element} near @param {any} f */
  more(near, f) {
    const close = ask({ title: `${f.letter} ${f.name}`, near, body: [choices([
      { says: f.have ? 'other pieces on the shelf' : 'pieces of it are on the shelf', pick: () => this.have(near, f) },
      { says: f.swatch ? 'another photograph, or none' : 'a photograph of it', pick: () => this.photograph(near, f) },
      { says: `its colour is ${f.color}`, pick: () => this.line(near, `Colour of ${f.letter} ${f.name}`, 'Red, green and blue in hexadecimal, as in #2b5a68', f.color, (t) => {
        const color = t.startsWith('#') ? t : `#${t}`;
        if (color !== f.color) void this.do({ do: 'put', at: ['fabrics', f.letter, 'color'], value: color });
      }) },
      { says: `it counts as ${f.value}`, pick: () => this.value(near, f) },
      { says: f.assorted > 1 ? `${f.assorted} different cloths play its part` : 'several cloths play its part', pick: () => this.assorted(near, f) },
      { says: f.motif ? 'another motif, or none' : 'its pieces are centred on a motif', pick: () => this.motif(near, f) },
      { says: `its key letter is ${f.letter}`, pick: () => this.letter(near, f) },
      { says: 'remove it', pick: () => this.remove(near, f) },
    ], () => close())] });
  }

  /** @param {Element} near @param {any} f */
  assorted(near, f) {
    const at = ['fabrics', f.letter, 'assorted'];
    this.line(near, `How many cloths play the part of ${f.letter} ${f.name}`, 'A number', String(f.assorted),
      (t) => void this.do(Number(t) === 1 ? { do: 'drop', at } : { do: 'put', at, value: t }), f.assorted > 1 ? [{ says: 'one cloth', pick: () => void this.do({ do: 'drop', at }) }] : []);
  }

  /** @param {Element} near @param {any} f */
  motif(near, f) {
    const at = ['fabrics', f.letter, 'motif'];
    this.line(near, `Motif of ${f.letter} ${f.name}`, `How large a circle holds it, then how far apart two are across and along, as in ${this.view.measure === 'cm' ? '10, 15 x 20' : '4, 6 x 8'}; 0 where a stripe runs on`, f.motif, (t) => {
      const [size, ...every] = t.split(/\s*[,;]\s*/);
      void this.do({ do: 'put', at, value: { size: bare(size), every: pair(every.join(' ')) } });
    }, f.motif ? [{ says: 'pieces are cut as they come', pick: () => void this.do({ do: 'drop', at }) }] : []);
  }

  /** @param {Element} near @param {any} f */
  value(near, f) {
    const at = ['fabrics', f.letter, 'value'];
    const close = ask({ title: `${f.letter} ${f.name} counts as`, near, body: [h('p', { class: 'dim' }, 'Seams are pressed toward the darker cloth.'),
      choices(['light', 'medium', 'dark'].map((word) => ({ says: word, chosen: f.value === word, pick: () => { if (word !== f.value) void this.do({ do: 'put', at, value: word }); } })), () => close())] });
  }

  /** @param {Element} near @param {any} f */
  photograph(near, f) {
    const file = /** @type {HTMLInputElement} */ (h('input', { type: 'file', accept: '.jpg,.jpeg,.png', onchange: async () => {
      const chosen = file.files?.[0];
      if (!chosen) return;
      close();
      await this.board.change('/swatch', { fabric: f.letter, data: await base64(chosen) });
    } }));
    const close = ask({ title: `Photograph of ${f.letter} ${f.name}`, near, body: [
      f.swatch && line({ label: `How much cloth it shows from side to side, in ${this.view.measure}`, value: f.shows ? String(f.shows) : '', word: 'set',
        done: (t) => { if (t || f.shows) void this.do(t ? { do: 'put', at: ['fabrics', f.letter, 'shows'], value: bare(t) } : { do: 'drop', at: ['fabrics', f.letter, 'shows'] }); } }, () => close()),
      h('label', {}, 'A .jpg or .png of the cloth, upright', file),
      h('p', { class: 'dim' }, `A scan says itself how much cloth it shows. Any other is taken to show ${+(taken * this.inch).toFixed(2)} ${this.view.measure} from side to side, unless you say how much.`),
      f.swatch && choices([{ says: 'without a photograph', pick: () => void this.board.do(...['swatch', ...(f.shows ? ['shows'] : [])].map((key) => ({ do: 'drop', at: ['fabrics', f.letter, key] }))) }], () => close()),
    ] });
  }

  /** @param {Element} near @param {any} f */
  remove(near, f) {
    const close = ask({ title: `Remove ${f.letter} ${f.name}`, near, body: [choices([
      { says: 'it is used nowhere', pick: () => void this.do({ do: 'remove fabric', fabric: f.letter }) },
      ...this.view.fabrics.filter((/** @type {any} */ x) => x !== f).map((/** @type {any} */ x) => ({
        says: [swatch(x.color), ` ${x.letter} ${x.name} takes its place`], pick: () => void this.do({ do: 'remove fabric', fabric: f.letter, instead: x.letter }),
      })),
    ], () => close())] });
  }

  add() {
    const used = new Set(this.view.fabrics.map((/** @type {any} */ f) => f.letter));
    const free = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'].find((l) => !used.has(l)) ?? 'AA';
    const close = ask({ title: 'Add a fabric', body: [line({ label: `Its name; its key letter is ${free}`, value: '', word: 'add', done: (name) => void this.do({
      do: 'add fabric', fabric: free, is: { name: name || `Fabric ${free}`, color: begun[this.view.fabrics.length % begun.length] },
    }) }, () => close())] });
  }

  // Other sets of fabrics.

  /** A fabric as it is, and as it is tried. @param {any} f @param {any} t @param {number} i */
  tried(f, t, i) {
    const at = ['palettes', this.view.tried, f.letter], name = `${f.letter} ${t.name} in ${this.view.tried}`;
    return h('li', {},
      h('span', { class: 'was' }, swatch(f.color)), h('span', { class: 'was dim' }, `${f.letter} ${f.name}`),
      this.color(t.color, `Colour of ${name}`, `${f.letter} tried color`, '', (color) => void this.do({ do: 'put', at: [...at, 'color'], value: color })),
      h('div', { class: 'is' }, h('div', { class: 'name' },
        value(`${f.letter} tried name`, t.name, `Name of ${name}`, (e) => this.line(e, `Name of ${name}`, 'What it is called in this set', t.name, (x) => void this.do({ do: 'put', at: [...at, 'name'], value: x }))),
        t.changed ? value(`${f.letter} as it was`, 'as it was', `Back to ${f.name}, ${name}`, () => void this.back(f.letter)) : h('span', { class: 'dim' }, 'the same'))));
  }

  /** Takes a fabric out of the set that is tried; the set stays, with nothing in it if need be. @param {string} letter */
  back(letter) {
    const only = this.view.in.filter((/** @type {any} */ t) => t.changed).length === 1;
    return this.do(only ? { do: 'put', at: ['palettes', this.view.tried], value: {} } : { do: 'drop', at: ['palettes', this.view.tried, letter] });
  }

  /** @param {Element} near */
  sets(near) {
    const v = this.view;
    const close = ask({ title: 'Sets of fabrics', near, body: [
      choices([{ says: 'the quilt’s own', chosen: !v.tried, pick: () => this.go({ palette: '' }) },
        ...v.palettes.map((/** @type {string} */ name) => ({ says: `try ${name}`, chosen: name === v.tried, pick: () => this.go({ palette: name }) }))], () => close()),
      h('hr'), choices([{ says: 'begin another set', pick: () => this.begin() }], () => close()),
    ] });
  }

  begin() {
    const names = new Set(this.view.palettes);
    const name = ['Night', 'Morning', 'Another'].find((n) => !names.has(n)) ?? `Set ${names.size + 1}`;
    const close = ask({ title: 'Begin another set of fabrics', body: [line({ label: 'Its name', value: name, word: 'begin', done: async (to) => {
      if (to && (names.has(to) || await this.do({ do: 'put', at: ['palettes', to], value: {} }))) this.go({ palette: to });
    } }, () => close()), h('p', { class: 'dim' }, 'It begins as the quilt’s own fabrics are. These stay as they are until you take the other for the quilt.')] });
  }

  async adopt() {
    const v = this.view, names = new Set(v.palettes);
    let keep = `Before ${v.tried}`;
    for (let n = 2; names.has(keep); n++) keep = `Before ${v.tried} ${n}`;
    if (await this.do({ do: 'adopt palette', palette: v.tried, keep })) {
      this.go({ palette: '' });
      this.board.say(`The quilt is in ${v.tried} now. What it was is kept as ${keep}.`);
    }
  }

  words() {
    const v = this.view;
    if (v.tried) {
      return [`${v.tried} is tried beside the quilt’s own fabrics, which stay as they are. `, this.word('take it for the quilt', () => void this.adopt()), this.word('go back', () => this.go({ palette: '' })),
        this.word(`remove ${v.tried}`, async () => { if (await this.do({ do: 'drop', at: ['palettes', v.tried] })) this.go({ palette: '' }); })];
    }
    return ['Click a colour, a name or a measure to change it. ', this.word('add a fabric', () => this.add()),
      this.word(v.palettes.length ? 'try another set' : 'begin another set', (at) => (v.palettes.length ? this.sets(at) : this.begin())),
      this.word(v.grey ? 'look at it in colour' : 'look at it in grey', () => this.go({ grey: v.grey ? '' : '1' })), v.needs && h('span', {}, v.needs)];
  }

  // The quilt.

  draw() {
    const v = this.view;
    this.photographs.want(v.fabrics);
    const pictures = [this.drawing('own', v.tried ? 'As it is' : '', v.fabrics, v.alike)];
    if (v.tried) {
      this.photographs.want(v.in);
      pictures.push(this.drawing('tried', v.tried, v.in, v.inAlike));
    }
    put(this.drawings, pictures);
  }

  /** @param {string} name @param {string} says @param {any[]} cloths @param {any[]} alike */
  drawing(name, says, cloths, alike) {
    const v = this.view, top = v.top;
    const { fill, patterns } = this.photographs.fills(cloths, name, v.measure);
    const svg = s('svg', { role: 'img', 'aria-label': `The quilt${says ? `, ${says}` : ''}${v.grey ? ', in grey' : ''}` });
    const drawn = quilt(top, v.grey ? (i) => cloths[i]?.grey ?? '' : fill, name);
    put(svg, s('defs', {}, ...patterns.values()), drawn,
      s('path', { class: 'alike', d: alike.flatMap((a) => a.seams.map((/** @type {number[][]} */ [p, q]) => `M${p.join(' ')}L${q.join(' ')}`)).join('') }));
    frame(svg, top, 0.012);
    return h('figure', {}, svg, says && h('figcaption', {}, says));
  }
}

/** @param {File} file @returns {Promise<string>} */
function base64(file) {
  return new Promise((done, wrong) => {
    const reader = new FileReader();
    reader.onload = () => done(String(reader.result).split(',')[1] ?? '');
    reader.onerror = () => wrong(reader.error);
    reader.readAsDataURL(file);
  });
}


/** @param {string} text */
function pair(text) {
  const [a, b = a] = text.split(/\s*[x×]\s*/).map(bare);
  return [a, b];
}

/** @param {string} text */
function upper(text) { return text.charAt(0).toUpperCase() + text.slice(1); }
