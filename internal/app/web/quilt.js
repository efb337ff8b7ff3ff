// The quilt as SVG, in its real proportions: blocks drawn once and placed as often as they lie in it. Set lays it, Cloth colours it.

import { s } from './dom.js';

/**
 * @typedef {[number, number]} Point
 * @typedef {{points: Point[], fabric: number, up?: number}} Piece fabric: its number in the list of fabrics
 * @typedef {{width: number, height: number, patches: Piece[]}} Drawn
 * @typedef {{block: number, x: number, y: number, turn: number, row: number, column: number, of: [number, number], says: string}} Placed
 * @typedef {{width: number, height: number, blocks: Drawn[], placed: Placed[], patches: Piece[], fits: boolean}} Top
 */

/** @param {Point[]} points */
export function outline(points) {
  return 'M' + points.map((p) => `${+p[0].toFixed(4)} ${+p[1].toFixed(4)}`).join('L') + 'Z';
}

/** @typedef {(fabric: number, up: number) => string} Fill the colour of a fabric, or its photograph, of which up points so many degrees from up */

/** The pieces of a block. @param {Piece[]} patches @param {Fill} fill */
function pieces(patches, fill) {
  return patches.map((p) => s('path', { d: outline(p.points), fill: fill(p.fabric, p.up ?? 0), class: 'patch' }));
}

/**
 * A block on its own. @param {Drawn} b @param {Fill} fill
 */
export function small(b, fill) {
  const margin = Math.max(b.width, b.height) * 0.02;
  return s('svg', { class: 'small', viewBox: `${-margin} ${-margin} ${(b.width || 1) + 2 * margin} ${(b.height || 1) + 2 * margin}`, 'aria-hidden': 'true' }, pieces(b.patches, fill));
}

/**
 * The quilt: what is drawn once, and all that lies in it. The name keeps what two drawings on one page hold apart.
 * @param {Top} top @param {Fill} fill @param {string} name
 * @returns {SVGElement[]}
 */
export function quilt(top, fill, name) {
  return [
    s('defs', {}, top.blocks.map((b, i) => s('g', { id: `${name}-${i}` }, pieces(b.patches, fill)))),
    s('g', {}, pieces(top.patches, fill)),
    s('g', {}, top.placed.map((p) => lie(p, `${name}-${p.block}`))),
  ];
}

/** A block where it lies. @param {Placed} p @param {string} id */
export function lie(p, id) {
  return s('use', { href: `#${id}`, transform: `translate(${p.x} ${p.y}) rotate(${p.turn})` });
}

/** The corners of a placed block. @param {Top} top @param {Placed} p @returns {Point[]} */
export function field(top, p) {
  const b = top.blocks[p.block], a = (p.turn * Math.PI) / 180, sin = Math.sin(a), cos = Math.cos(a);
  return /** @type {Point[]} */ ([[0, 0], [b.width, 0], [b.width, b.height], [0, b.height]]).map(([x, y]) => [p.x + cos * x - sin * y, p.y + sin * x + cos * y]);
}

/** @param {Point[]} points @returns {Point} */
export function middle(points) {
  return [points.reduce((t, p) => t + p[0], 0) / points.length, points.reduce((t, p) => t + p[1], 0) / points.length];
}

/** @param {Point[]} pg @param {number} x @param {number} y */
export function inside(pg, x, y) {
  let is = false;
  for (let i = 0, j = pg.length - 1; i < pg.length; j = i++) {
    const [ax, ay] = pg[i], [bx, by] = pg[j];
    if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) is = !is;
  }
  return is;
}

/** Gives an SVG the box of the quilt and a margin. @param {SVGElement} svg @param {Top} top @param {number} [part] the margin, as a part of the longer side */
export function frame(svg, top, part = 0.025) {
  const w = top.width || 1, high = top.height || 1, m = Math.max(w, high) * part;
  svg.setAttribute('viewBox', `${-m} ${-m} ${w + 2 * m} ${high + 2 * m}`);
  const ratio = String((w + 2 * m) / (high + 2 * m));
  svg.style.aspectRatio = ratio;
  svg.style.setProperty('--ratio', ratio);
}

/** A small square of cloth. @param {string} color */
export function swatch(color) {
  const e = document.createElement('span');
  e.className = 'swatch';
  e.style.background = color;
  return e;
}
