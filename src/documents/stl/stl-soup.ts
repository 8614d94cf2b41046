// What both kinds of STL are read into, and the numbers of the binary kind.
import { type Finding, finding, type Where } from '../../base/findings.ts';

/** What an STL file holds. corners: 9 numbers a triangle, in file units, in file order, all finite, not welded. */
export interface StlSoup {
  readonly corners: Float32Array;
  readonly kind: 'binary' | 'ascii';
  /** Solids the file tells apart; at least 1. */
  readonly parts: number;
  readonly name?: string;
}

export const STL_HEADER_BYTES = 84;
export const STL_FACET_BYTES = 50;
export const STL_WHERE: Where = { path: 'stl' };

/** Triangles a binary file announces; NaN when the file is too short to announce any. */
export function declaredCount(bytes: Uint8Array): number {
  if (bytes.length < STL_HEADER_BYTES) return Number.NaN;
  return (bytes[80]! | (bytes[81]! << 8) | (bytes[82]! << 16) | (bytes[83]! << 24)) >>> 0;
}

export function hasExactStlSize(bytes: Uint8Array): boolean {
  return declaredCount(bytes) * STL_FACET_BYTES + STL_HEADER_BYTES === bytes.length;
}

export function stlFinding(code: Finding['code'], say: string, about: { measured: number; limit?: number }): Finding {
  return finding(code, say, { where: STL_WHERE, unit: code === 'TRAILING_BYTES' ? 'bytes' : '', ...about });
}

/** True when bytes that have no mark of any format can be taken for binary STL: the size agrees with the count, or the first
 *  triangles hold what triangles hold (normals of length 0 or 1, moderate coordinates, not all zero). */
export function looksLikeBinaryStl(bytes: Uint8Array): boolean {
  if (hasExactStlSize(bytes)) return true;
  const whole = Math.min(8, Math.floor((bytes.length - STL_HEADER_BYTES) / STL_FACET_BYTES));
  if (whole < 1 || isText(bytes)) return false;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let largest = 0;
  for (let t = 0; t < whole; t++) {
    const at = STL_HEADER_BYTES + t * STL_FACET_BYTES;
    const normal = Math.hypot(view.getFloat32(at, true), view.getFloat32(at + 4, true), view.getFloat32(at + 8, true));
    if (!(normal < 0.001 || Math.abs(normal - 1) < 0.01)) return false;
    for (let k = 12; k < 48; k += 4) {
      const size = Math.abs(view.getFloat32(at + k, true));
      if (!(size < 1e7)) return false;
      largest = Math.max(largest, size);
    }
  }
  return largest > 1e-6;
}

/** No byte that text does not hold. Triangles hold zeros and other small bytes from the first one on. */
function isText(bytes: Uint8Array): boolean {
  for (let i = 0; i < 1024 && i < bytes.length; i++) if (bytes[i]! < 9) return false;
  return true;
}
