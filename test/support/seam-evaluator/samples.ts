// The model in patches, for counting pieces of very many divisions: where each lies, how large it is, what it hangs on.
import type { PricedModel } from './priced-model.ts';

export interface Samples {
  /** xyz interleaved. */
  readonly middles: Float64Array;
  readonly normals: Float64Array;
  readonly areas: Float64Array;
  /** Mean wall straight inwards, mm; Infinity where nothing lies behind. */
  readonly depthsMm: Float64Array;
  /** Pairs of samples that hang together: side by side, or through the wall. */
  readonly links: Int32Array;
}

/** Triangles that hang together within a cube of the given side and face alike. Linear in the triangles. */
export function samplesOf(model: PricedModel, sideMm: number): Samples {
  const { middles, normals, areas, across, exposure } = model;
  const count = areas.length;
  const cube = Float64Array.from({ length: count }, (_, t) => cubeOf(middles, t, sideMm));
  const sampleOf = new Int32Array(count).fill(-1);
  let num = 0;
  for (let t = 0; t < count; t++) {
    if (sampleOf[t]! >= 0) continue;
    const walk = [t];
    sampleOf[t] = num;
    for (const at of walk) {
      for (let k = 0; k < 3; k++) {
        const next = across[3 * at + k]!;
        if (next < 0 || sampleOf[next]! >= 0 || cube[next] !== cube[t] || cosine(normals, next, t) < 0.3) continue;
        sampleOf[next] = num;
        walk.push(next);
      }
    }
    num++;
  }
  const out = {
    middles: new Float64Array(3 * num),
    normals: new Float64Array(3 * num),
    areas: new Float64Array(num),
    depthsMm: new Float64Array(num),
  };
  const links = new Set<number>();
  for (let t = 0; t < count; t++) {
    const s = sampleOf[t]!;
    out.areas[s]! += areas[t]!;
    out.depthsMm[s]! += areas[t]! * exposure.depthMm[t]!;
    for (let c = 0; c < 3; c++) {
      out.middles[3 * s + c]! += areas[t]! * middles[3 * t + c]!;
      out.normals[3 * s + c]! += areas[t]! * normals[3 * t + c]!;
    }
    for (const other of [across[3 * t]!, across[3 * t + 1]!, across[3 * t + 2]!, exposure.opposite[t]!])
      if (other >= 0 && sampleOf[other] !== s)
        links.add(Math.min(s, sampleOf[other]!) * num + Math.max(s, sampleOf[other]!));
  }
  for (let s = 0; s < num; s++) {
    const area = out.areas[s]! || 1;
    out.depthsMm[s]! /= area;
    const length = Math.hypot(out.normals[3 * s]!, out.normals[3 * s + 1]!, out.normals[3 * s + 2]!) || 1;
    for (let c = 0; c < 3; c++) {
      out.middles[3 * s + c]! /= area;
      out.normals[3 * s + c]! /= length;
    }
  }
  return { ...out, links: Int32Array.from([...links].flatMap((key) => [Math.floor(key / num), key % num])) };
}

function cubeOf(middles: Float64Array, t: number, sideMm: number): number {
  let key = 0;
  for (let c = 0; c < 3; c++) key = key * 4096 + Math.floor(middles[3 * t + c]! / sideMm) + 2048;
  return key;
}

function cosine(normals: Float64Array, a: number, b: number): number {
  return (
    normals[3 * a]! * normals[3 * b]! +
    normals[3 * a + 1]! * normals[3 * b + 1]! +
    normals[3 * a + 2]! * normals[3 * b + 2]!
  );
}

/** Areas of the connected parts when samples of different cells hang together no more, by any name. */
export function partAreas({ areas, links }: Pick<Samples, 'areas' | 'links'>, cells: Int32Array): Map<number, number> {
  const parts = partsOf({ areas, links }, cells);
  const sums = new Map<number, number>();
  for (let s = 0; s < parts.length; s++) sums.set(parts[s]!, (sums.get(parts[s]!) ?? 0) + areas[s]!);
  return sums;
}

/** A name for the part of each sample; samples of a negative cell are left out and named -1. */
export function partsOf({ areas, links }: Pick<Samples, 'areas' | 'links'>, cells: Int32Array): Int32Array {
  const parent = Int32Array.from(areas, (_, s) => s);
  const rootOf = (s: number): number => {
    let at = s;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  for (let i = 0; i < links.length; i += 2) {
    const [a, b] = [links[i]!, links[i + 1]!];
    if (cells[a] === cells[b] && cells[a]! >= 0) parent[rootOf(a)] = rootOf(b);
  }
  return Int32Array.from(areas, (_, s) => (cells[s]! < 0 ? -1 : rootOf(s)));
}
