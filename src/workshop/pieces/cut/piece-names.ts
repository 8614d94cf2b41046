// What a piece is called, and in which order pieces are listed: by where they sit on the worn shell.
import type { Vec3 } from '../../../mesh/mesh.ts';

/** A piece's middle and box within the shell's box. Model space: x to the wearer's left, y to the back, z up. */
export interface Placed {
  readonly centreMm: Vec3;
  readonly sizeMm: Vec3;
}

export interface ShellBox {
  readonly minMm: Vec3;
  readonly maxMm: Vec3;
}

/** Order of listing: from top to bottom in four storeys, in each from front to back, then from the wearer's left to the right. */
export function listingOrder(placed: readonly Placed[], shell: ShellBox): number[] {
  const keys = placed.map((piece) => {
    const [x, y, z] = placeIn(piece.centreMm, shell);
    return [-Math.min(3, Math.floor((z + 1) * 2)), Math.round(y * 4), -x] as const;
  });
  const order = placed.map((_, i) => i);
  return order.sort((i, j) => {
    const [a, b] = [keys[i]!, keys[j]!];
    return a[0] - b[0] || a[1] - b[1] || a[2] - b[2] || i - j;
  });
}

/** A, B, ... Z, AA, AB ... */
export function pieceLetter(index: number): string {
  const last = String.fromCharCode(65 + (index % 26));
  return index < 26 ? last : pieceLetter(Math.floor(index / 26) - 1) + last;
}

/** Names in trade words, each once: the storey and the side it sits on. */
export function pieceNames(placed: readonly Placed[], shell: ShellBox): string[] {
  if (placed.length === 1) return ['whole shell'];
  const names = placed.map((piece) => nameOf(piece, shell));
  const seen = new Map<string, number>();
  return names.map((name) => {
    const times = (seen.get(name) ?? 0) + 1;
    seen.set(name, times);
    return names.filter((other) => other === name).length > 1 ? `${name} ${times}` : name;
  });
}

function nameOf(piece: Placed, shell: ShellBox): string {
  const [x, y, z] = placeIn(piece.centreMm, shell);
  const spansX = spans(piece, shell, 0);
  const spansY = spans(piece, shell, 1);
  const spansZ = spans(piece, shell, 2);
  const side = spansX || Math.abs(x) < 0.15 ? '' : x > 0 ? 'left' : 'right';
  const depth = spansY || Math.abs(y) < 0.15 ? '' : y < 0 ? 'front' : 'back';
  if (spansZ) return joined(depth === 'front' ? 'face half' : depth === 'back' ? 'back half' : 'half', '', side);
  if (spansX && spansY) return z > 0.22 ? 'crown' : z > -0.22 ? 'band' : 'lower half';
  if (z > 0.22) return joined('crown', depth, side);
  if (z > -0.35) return joined(depth === 'front' ? 'face' : depth === 'back' ? 'back of the head' : 'side', '', side);
  return joined(depth === 'front' ? 'chin' : depth === 'back' ? 'back of the neck' : 'lower edge', '', side);
}

function joined(place: string, depth: string, side: string): string {
  const rest = `${depth} ${side}`.trim();
  return rest === '' ? place : `${place}, ${rest}`;
}

/** The middle in the shell's box, -1 to 1 on each axis. */
function placeIn(p: Vec3, shell: ShellBox): Vec3 {
  const at = (c: 0 | 1 | 2) => {
    const half = (shell.maxMm[c] - shell.minMm[c]) / 2;
    return half > 0 ? (p[c] - shell.minMm[c]) / half - 1 : 0;
  };
  return [at(0), at(1), at(2)];
}

function spans(piece: Placed, shell: ShellBox, c: 0 | 1 | 2): boolean {
  return piece.sizeMm[c] > 0.8 * (shell.maxMm[c] - shell.minMm[c]);
}
