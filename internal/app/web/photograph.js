// Photographs of cloth, at true scale: how much cloth one shows is read from its resolution, as a scanner writes it.

/** What a photograph shows from side to side, in inches, where it does not say so itself. */
export const taken = 6;
/** Fewer dots to an inch are what programs write that do not know. */
const least = 100;

/** @type {Map<string, Promise<{width: number, height: number, known: boolean}>>} */
const known = new Map();

/**
 * How much cloth the photograph of a fabric shows, in inches; known is false where it is taken to show six inches across.
 * @param {string} letter @param {string} name of the file, which changes with its content
 */
export function shows(letter, name) {
  let is = known.get(name);
  if (!is) {
    is = look(letter);
    known.set(name, is);
    is.catch(() => known.delete(name));
  }
  return is;
}

/** @param {string} letter */
async function look(letter) {
  const r = await fetch(`/swatch/${encodeURIComponent(letter)}`);
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
export function dotsToAnInch(d) {
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
