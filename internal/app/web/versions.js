// The quilt's title, and the quilt as it was: versions that are kept are looked at and taken back.

import { h, s } from './dom.js';
import { ask, choices, line } from './ask.js';
import { read } from './talk.js';
import { quilt } from './quilt.js';

/** @typedef {import('./board.js').Board} Board */

/** What the title opens. @param {Board} board @param {Element} near */
export async function title(board, near) {
  /** @type {{number: number, when: string, now: boolean}[]} */
  let versions = [];
  try {
    versions = await read(await fetch('/versions'));
  } catch { /* the title can be changed without them */ }
  const close = ask({ title: 'The quilt', near, body: [
    line({ label: 'Its title', value: board.answer?.title ?? '', word: 'rename', done: (to) => {
      if (to && to !== board.answer?.title) void board.do({ do: 'put', at: ['quilt'], value: to });
    } }, () => close()),
    h('p', { class: 'dim' }, `Everything is saved in ${board.answer?.file} as you go.`, versions.length ? ' Versions that are kept:' : ''),
    choices(versions.map((v) => ({
      says: [when(v.when), v.now && h('span', { class: 'dim' }, ' · as it is now')], chosen: v.now, pick: () => void look(board, v.number, v.when),
    })), () => close()),
  ] });
}

/** Shows a version, and offers to take it back. @param {Board} board @param {number} number @param {string} at */
async function look(board, number, at) {
  let v;
  try {
    v = await read(await fetch(`/versions/${number}`));
  } catch (e) {
    board.say(e instanceof Error ? e.message : String(e), true);
    return;
  }
  const margin = Math.max(v.top.width, v.top.height, 1) * 0.01;
  const close = ask({ title: `As it was on ${when(at)}`, body: [
    v.wrong ? h('p', {}, `It cannot be read: ${v.wrong}.`)
      : h('p', {}, h('b', {}, v.title), ` · ${v.blocks.length === 1 ? v.blocks[0] : `${v.blocks.length} blocks`}`),
    v.top.width > 0 && s('svg', { class: 'past', viewBox: `${-margin} ${-margin} ${v.top.width + 2 * margin} ${v.top.height + 2 * margin}`, role: 'img', 'aria-label': `${v.title} as it was` },
      quilt(v.top, (f) => v.fabrics[f]?.color ?? 'none', 'past')),
    choices([
      { says: 'take this version back', pick: () => void board.change('/version', { version: number }) },
      { says: 'look at another', pick: () => void title(board, document.body) },
    ], () => close()),
  ] });
}

/** @param {string} at */
function when(at) {
  return new Date(at).toLocaleString(undefined, { weekday: 'short', day: 'numeric', month: 'long', hour: '2-digit', minute: '2-digit' });
}
