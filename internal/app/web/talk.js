// The only module that talks to the server. What it gets is what the page shows; it keeps nothing.

/** A window's own name, so that it can tell its own changes from another window's. */
export const here = crypto.randomUUID();

/**
 * @typedef {object} Answer what every view and every change is answered with
 * @property {number} revision @property {string} title @property {string} file
 * @property {string} [undo] @property {string} [redo]
 * @property {{tone: string, says: string}} verdict @property {number} stage
 * @property {{place: string, says: string}[]} places
 * @property {string} place @property {any} view
 * @property {string} [problem] @property {boolean} [conflict]
 *
 * @typedef {{kind: string, revision: number, stage: number, window?: string, says?: string}} BoardEvent
 * @typedef {{hash: string, width: number, height: number}} Sheet
 * @typedef {{revision: number, stage: string, paper: string, why?: string, pages: Sheet[]}} Pages
 * @typedef {{do: string} & Record<string, any>} Op
 */

/** @param {Response} r @returns {Promise<any>} */
export async function read(r) {
  if (r.headers.get('Content-Type') === 'application/json') return r.json();
  throw new Error((await r.text()).trim() || `the board's server answered ${r.status}`);
}

/** @param {string} place @param {URLSearchParams} query @returns {Promise<Answer>} */
export async function view(place, query) {
  return read(await fetch(`/view/${encodeURIComponent(place)}?${query}`));
}

/**
 * Makes a change. The answer comes as soon as there is something to show, and ends when the change is on the disk; where it does not get
 * there, another one follows, of how things were. Each is shown when it comes, and the last of them is returned.
 * @param {string} path @param {object} body @param {(answer: Answer) => void|Promise<void>} show @returns {Promise<Answer>}
 */
export async function post(path, body, show) {
  const r = await fetch(path, { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) });
  if (r.headers.get('Content-Type') !== 'application/json' || !r.body) return read(r);
  const parts = r.body.pipeThrough(new TextDecoderStream()).getReader();
  let text = '', last;
  for (;;) {
    const { done, value } = await parts.read();
    text += value ?? '';
    for (let end; (end = text.indexOf('\n')) >= 0; text = text.slice(end + 1)) {
      last = JSON.parse(text.slice(0, end));
      await show(last);
    }
    if (done) break;
  }
  if (!last) throw new Error('the board’s server broke off');
  return last;
}

/** @param {number} month @param {string} block @param {string} paper @returns {Promise<Pages>} */
export async function pages(month, block, paper) {
  return read(await fetch(`/pages?${new URLSearchParams({ month: String(month), block, paper })}`));
}

/** @param {string} hash @returns {Promise<string>} */
export async function page(hash) {
  const r = await fetch(`/page/${hash}`);
  if (!r.ok) throw new Error(await r.text());
  return r.text();
}

/** @param {(e: BoardEvent) => void} on @param {(lost: boolean) => void} lost */
export function listen(on, lost) {
  const source = new EventSource('/events');
  source.onmessage = (m) => { lost(false); on(JSON.parse(m.data)); };
  source.onerror = () => lost(true);
}
