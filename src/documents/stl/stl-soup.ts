// What both kinds of STL are read into, and the numbers of the binary kind.
import { type Finding, finding, type Where } from '../../base/findings.ts';

/** What an STL file holds. corners: 9 numbers a triangle, in file units, in file order, not welded. */
export interface StlSoup {
  readonly corners: Float32Array;
  readonly kind: 'binary' | 'ascii';
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

export function stlFinding(code: Finding['code'], say: string, about: { measured: number; limit?: number }): Finding {
  return finding(code, say, { where: STL_WHERE, unit: code === 'TRAILING_BYTES' ? 'bytes' : '', ...about });
}
