// Sew: the steps of a month, unit by unit, drawn before and after. Point at how a unit is made to make it otherwise.

import { ask, choices, value } from './ask.js';
import { h, measured, put } from './dom.js';
import { cost, findings, light, link, listenForPieces, lit, look, pieceKeys, rich, unready } from './plan.js';
import { terms } from './terms.js';

/** @typedef {import('./board.js').Board} Board */
/** @typedef {import('./talk.js').Answer} Answer */

/** @type {import('./board.js').Place} */
export default {
  name: 'sew',
  keys: [...pieceKeys],
  open: (board) => new Sew(board),
};

class Sew {
  /** @type {any} */ view = null;
  element = h('section', { class: 'stay sew', 'aria-label': 'Sew' });

  /** @param {Board} board */
  constructor(board) {
    this.board = board;
    this.close = listenForPieces(board, this.element, () => this.view);
  }

  month() { return this.view?.months.length ? this.view.month : 0; }

  /** @param {Answer} answer */
  show(answer) {
    const v = this.view = answer.view;
    const now = v.months.findIndex((/** @type {any} */ m) => m.number === v.month);
    const to = (/** @type {number} */ i, /** @type {string} */ says) => v.months[i] && h('button', { type: 'button', class: 'word', 'data-focus': says, onclick: () => look(this.board, { month: String(v.months[i].number) }) }, says);
    put(this.element,
      h('div', { class: 'top' }, h('div', { class: 'values' }, now >= 0 ? value('month', h('strong', {}, v.months[now].says), 'Month', (at) => this.months(at)) : h('strong', {}, 'Every step, in the order of work'), terms(this.board, v.terms)),
        h('p', { class: 'doing' }, now > 0 && to(now - 1, 'the month before'), now >= 0 && to(now + 1, 'the next month'))),
      unready(v), findings(v.found), lit(v, this.board),
      v.units.map((/** @type {any} */ u, /** @type {number} */ i) => this.unit(u, i)),
      cost(v, this.board));
    const at = this.element.querySelector('.step.lit');
    if (at && v.piece?.label !== this.shown) at.scrollIntoView({ block: 'nearest' });
    this.shown = v.piece?.label;
  }

  /** @param {any} u @param {number} i */
  unit(u, i) {
    const id = `${u.unit} ${i}`;
    return h('section', { class: 'unit' },
      h('h2', {}, u.head, ' ', h('span', { class: 'dim of' }, measured(u.of))),
      h('p', { class: 'how' }, u.choice && [value(`ways ${id}`, [u.choice.is || 'as it comes', u.choice.why && h('span', { class: 'dim' }, ` · ${u.choice.why}`)], 'How it is made', (at) => this.ways(u, at))],
        u.blocks.slice(0, 3).map((/** @type {string} */ b) => link('press', { block: b }, `pressing of ${b}`))),
      h('ol', { class: 'steps' }, u.steps.map((/** @type {any} */ st) => this.step(st, id))));
  }

  /** @param {any} st @param {string} id */
  step(st, id) {
    const lit = this.view.piece?.label, on = lit && st.labels.includes(lit);
    const drawn = h('div', { class: 'drawn' });
    if (st.drawn) {
      const svg = new DOMParser().parseFromString(st.drawn, 'image/svg+xml').documentElement;
      const own = document.importNode(svg, true);
      for (const t of own.querySelectorAll('text')) {
        const label = t.textContent ?? '';
        if (!st.labels.includes(label)) continue;
        t.setAttribute('class', on && label === lit ? 'piece lit' : 'piece');
        t.addEventListener('click', () => light(this.board, label));
      }
      drawn.append(own);
    }
    return h('li', { class: `step${on ? ' lit' : ''}` }, h('span', { class: 'number', 'aria-hidden': 'true' }, String(st.number)), drawn,
      h('div', {}, h('p', {}, rich(st.do, this.board, this.view, `step ${id} ${st.number}`)),
        st.notes.map((/** @type {string} */ t, /** @type {number} */ i) => h('p', { class: 'dim' }, rich(t, this.board, this.view, `note ${id} ${st.number} ${i}`)))),
      h('p', { class: 'check' }, st.check && h('b', {}, measured(st.check)), st.over > 0 && h('span', { class: 'dim' }, ` ${st.over} left over`)));
  }

  /** The ways to make a unit, in one block or in the quilt. @param {any} u @param {Element} at */
  ways(u, at) {
    const c = u.choice;
    const scopes = [...u.blocks.slice(0, 4).map((/** @type {string} */ b) => ({ says: `In ${b}`, at: ['blocks', b, 'make', c.key] })), { says: 'In the whole quilt, but for blocks that say otherwise', at: ['make', c.key] }];
    const close = ask({ title: `${u.head}: how they are made`, near: at, body: [
      scopes.map((scope) => [h('h3', {}, scope.says), choices([...c.ways.map((/** @type {any} */ w) => ({
        says: [w.says, w.why && h('span', { class: 'dim' }, ` · ${w.why}`)], chosen: w.chosen, dim: Boolean(w.why), pick: () => void this.board.do({ do: 'put', at: scope.at, value: w.value }),
      })), { says: 'as the plan finds best', pick: () => void this.board.do({ do: 'put', at: scope.at, value: 'auto' }) }], () => close())]).flat(),
    ] });
  }

  /** @param {Element} at */
  months(at) {
    const close = ask({ title: 'Months', near: at, body: [choices([...this.view.months.map((/** @type {any} */ m) => ({
      says: m.says, chosen: m.number === this.view.month, pick: () => look(this.board, { month: String(m.number) }),
    })), { says: h('span', { class: 'dim' }, 'change the months …'), pick: () => this.board.go('months') }], () => close())] });
  }
}
