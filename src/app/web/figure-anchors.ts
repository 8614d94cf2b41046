// Finds, in a small picture of which piece is seen where, the point of each piece that is deepest inside what is seen of it.

export interface Anchor {
  readonly part: number;
  /** The piece's own point, model space. */
  readonly at: readonly [number, number, number];
}

/** `pixels`: 4 numbers a pixel, the piece's number (from 1, 0 for none) and its point; rows from the bottom.
 *  Cost: O(pixels). Method: two passes of a chamfer distance that treats every other piece as outside. */
export function labelAnchors(pixels: Float32Array, width: number, height: number): readonly Anchor[] {
  const deep = depths(pixels, width, height);
  const best = new Map<number, number>();
  for (let i = 0; i < width * height; i++) {
    const part = Math.round(pixels[i * 4]!);
    if (part === 0) continue;
    const known = best.get(part);
    if (known === undefined || deep[i]! > deep[known]!) best.set(part, i);
  }
  return [...best.entries()]
    .filter(([, i]) => deep[i]! >= 2)
    .map(([part, i]) => ({ part: part - 1, at: [pixels[i * 4 + 1]!, pixels[i * 4 + 2]!, pixels[i * 4 + 3]!] }));
}

function depths(pixels: Float32Array, width: number, height: number): Float32Array {
  const deep = new Float32Array(width * height);
  const at = (x: number, y: number, part: number): number => {
    if (x < 0 || y < 0 || x >= width || y >= height) return 0;
    const i = y * width + x;
    return Math.round(pixels[i * 4]!) === part ? deep[i]! : 0;
  };
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const part = Math.round(pixels[(y * width + x) * 4]!);
      if (part !== 0)
        deep[y * width + x] =
          1 +
          Math.min(at(x - 1, y, part), at(x, y - 1, part), at(x - 1, y - 1, part) + 0.4, at(x + 1, y - 1, part) + 0.4);
    }
  }
  for (let y = height - 1; y >= 0; y--) {
    for (let x = width - 1; x >= 0; x--) {
      const i = y * width + x;
      const part = Math.round(pixels[i * 4]!);
      if (part === 0) continue;
      const back =
        1 +
        Math.min(at(x + 1, y, part), at(x, y + 1, part), at(x + 1, y + 1, part) + 0.4, at(x - 1, y + 1, part) + 0.4);
      deep[i] = Math.min(deep[i]!, back);
    }
  }
  return deep;
}
