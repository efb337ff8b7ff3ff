// Photographs of cloth, at true scale: how much cloth one shows is read from its resolution, as a scanner writes it.

import { s } from './dom.js';

/** What a photograph shows from side to side, in inches, where it does not say so itself. */
export const taken = 6;
/** Fewer dots to an inch are what programs write that do not know. */
const least = 100;

/** @type {Map<string, Promise<Shows>>} */
const known = new Map();

/** @typedef {{width: number, height: number, known: boolean}} Shows how much cloth, in inches; known is false where it is taken to show six inches across */
/**
 * @typedef {{color: string, swatch: string, pictured: string, shows: number}} Fabric swatch: the photograph's name, '' without; pictured: where it is sent from;
 * shows: how much cloth from side to side, in the measure of the document, 0 where the document does not say
 */

/** The photographs of the fabrics that a place shows. */
export class Photographs {
  /** By where they are sent from. @type {Map<string, Shows>} */ here = new Map();

  /** @param {() => void} loaded another one is here */
  constructor(loaded) {
    this.loaded = loaded;
  }

  /** Looks at those that are not here yet. @param {Fabric[]} fabrics */
  want(fabrics) {
    for (const f of fabrics) {
      if (!f.swatch || this.here.has(f.pictured)) continue;
      void shows(f).then((is) => {
        this.here.set(f.pictured, is);
        this.loaded();
      }, () => {});
    }
  }

  /** What a photograph shows, where the fabric has one that is here. @param {Fabric} f @param {number} unit how many of the document's measure an inch is @returns {Shows|undefined} */
  of(f, unit) {
    const is = f.swatch ? this.here.get(f.pictured) : undefined;
    if (!is || !f.shows) return is;
    const width = f.shows / unit;
    return { width, height: (width * is.height) / is.width, known: true };
  }

  /**
   * Fills for a drawing of the quilt: the photograph, or the colour. The patterns are those that were asked for; they belong into the drawing.
   * @param {Fabric[]} fabrics @param {string} name of the drawing @param {string} measure in | cm
   */
  fills(fabrics, name, measure) {
    /** @type {Map<string, SVGElement>} */ const patterns = new Map();
    const unit = measure === 'cm' ? 2.54 : 1;
    const fill = (/** @type {number} */ i, /** @type {number} */ up) => {
      const f = fabrics[i], shot = f && this.of(f, unit);
      if (!shot) return f?.color ?? '';
      const id = `${name}-cloth-${i}-${up}`, width = shot.width * unit, height = shot.height * unit;
      if (!patterns.has(id)) {
        patterns.set(id, s('pattern', { id, patternUnits: 'userSpaceOnUse', width, height, patternTransform: `rotate(${up})` },
          s('image', { href: f.pictured, width, height, preserveAspectRatio: 'none' })));
      }
      return `url(#${id})`;
    };
    return { fill, patterns };
  }
}

/** @param {Fabric} f @returns {Promise<Shows>} */
function shows(f) {
  let is = known.get(f.pictured);
  if (!is) {
    is = look(f.pictured);
    known.set(f.pictured, is);
    is.catch(() => known.delete(f.pictured));
  }
  return is;
}

/** @param {string} at */
async function look(at) {
  const r = await fetch(at);
  if (!r.ok) throw new Error('the photograph is not there');
  const bytes = await r.arrayBuffer();
  const bitmap = await createImageBitmap(new Blob([bytes], { type: r.headers.get('Content-Type') ?? '' }));
  const { width, height } = bitmap;
  bitmap.close();
  const dots = dotsToAnInch(new DataView(bytes));
  const across = dots >= least ? width / dots : taken;
  return { width: across, height: (across * height) / width, known: dots >= least };
}

/** The resolution that a PNG (pHYs) or a JPEG (JFIF) says it has, in dots to an inch; 0 where it says none. @param {DataView} d */
function dotsToAnInch(d) {
  if (d.byteLength > 24 && d.getUint32(0) === 0x89504e47) {
    for (let at = 8; at + 17 <= d.byteLength;) {
      const length = d.getUint32(at), kind = d.getUint32(at + 4);
      if (kind === 0x70485973) return d.getUint8(at + 16) === 1 ? d.getUint32(at + 8) * 0.0254 : 0;
      if (kind === 0x49444154) return 0;
      at += 12 + length;
    }
    return 0;
  }
  if (d.byteLength < 20 || d.getUint16(0) !== 0xffd8) return 0;
  for (let at = 2; at + 14 <= d.byteLength && d.getUint8(at) === 0xff;) {
    const kind = d.getUint8(at + 1), length = d.getUint16(at + 2);
    if (kind === 0xe0 && d.getUint32(at + 4) === 0x4a464946) {
      const unit = d.getUint8(at + 11), dots = d.getUint16(at + 12);
      return unit === 1 ? dots : unit === 2 ? dots * 2.54 : 0;
    }
    if (kind === 0xda) return 0;
    at += 2 + length;
  }
  return 0;
}
