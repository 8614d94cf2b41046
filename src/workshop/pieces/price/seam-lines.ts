// Where each seam shows: its line on the outside, what it costs along the way, and from where it is looked at.
import { halfEdgeTwins } from '../../../mesh/half-edges.ts';
import { type Mesh, NONE } from '../../../mesh/mesh.ts';
import { SEAM_HIDING, type SeamPlaces, type ShownSeam } from '../../process/pieces-record.ts';
import { chainedSteps, type LineStep } from './line-chains.ts';
import type { SeamPrice } from './seam-price.ts';
import { LOOKED_FROM } from './view-weights.ts';

/** A piece with its seams: sourceTri is a triangle of the shell, or -1 - seam. */
export interface SeamedPart {
  readonly mesh: Mesh;
  readonly sourceTri: Int32Array;
}

/** Deeper than this a line counts as lying in a crease. */
const IN_CREASE = 0.5;
/** Looked at less than this, a line is hardly seen from anywhere. */
const HARDLY_SEEN = 0.15;

/** The lines of all seams, in their order. A stretch of line is where the cut edges of two pieces coincide on the outside of the shell:
 *  from end to end, or in part within the same triangle of the shell. So a line ends where a third piece begins, whatever the
 *  triangles of the mating faces look like. Cost: O(numTris of the parts) and the cut edges sorted. Space: that of the parts. */
export function seamLines(
  parts: readonly SeamedPart[],
  seams: readonly { readonly below: number; readonly above: number }[],
  price: SeamPrice,
): ShownSeam[] {
  const rims = parts.flatMap((part, index) => outerRims(part, index, price.isOuter));
  const steps = seams.map((): PricedStep[] => []);
  const seamOf = seamFinder(seams);
  for (const { one, other, from, to } of coinciding(rims)) {
    const seam = seamOf(one, other);
    if (seam !== NONE) steps[seam]!.push(pricedStep(one, other, { from, to }, price));
  }
  return steps.map(shownSeam);
}

/** A side of a mating face that borders on the outside of the shell. */
interface Rim {
  readonly part: number;
  /** The seam its face is marked with. */
  readonly seam: number;
  /** Triangle of the shell across. */
  readonly tri: number;
  /** Both ends, xyz xyz. */
  readonly ends: readonly number[];
}

function outerRims({ mesh, sourceTri }: SeamedPart, part: number, isOuter: Uint8Array): Rim[] {
  if (sourceTri.every((source) => source >= 0)) return [];
  const { positions: p, triangles: t } = mesh;
  const twins = halfEdgeTwins(mesh);
  const out: Rim[] = [];
  for (let h = 0; h < twins.length; h++) {
    const source = sourceTri[(h / 3) | 0]!;
    if (source >= 0 || twins[h] === NONE) continue;
    const tri = sourceTri[(twins[h]! / 3) | 0]!;
    if (tri < 0 || isOuter[tri] === 0) continue;
    const a = t[h]! * 3;
    const b = t[h % 3 === 2 ? h - 2 : h + 1]! * 3;
    const ends = [p[a]!, p[a + 1]!, p[a + 2]!, p[b]!, p[b + 1]!, p[b + 2]!];
    out.push({ part, seam: -1 - source, tri, ends });
  }
  return out;
}

/** A stretch along `one`, as shares of its length. */
interface Stretch {
  readonly one: Rim;
  readonly other: Rim;
  readonly from: number;
  readonly to: number;
}

function coinciding(rims: readonly Rim[]): Stretch[] {
  const out: Stretch[] = [];
  const left: Rim[] = [];
  const waiting = new Map<string, Rim>();
  for (const rim of rims) {
    const key = endsKey(rim.ends, 3);
    const mate = waiting.get(key);
    if (mate === undefined || mate.part === rim.part) {
      waiting.set(endsKey(rim.ends, 0), rim);
      continue;
    }
    out.push({ one: mate, other: rim, from: 0, to: 1 });
    waiting.delete(key);
  }
  for (const rim of waiting.values()) left.push(rim);
  return [...out, ...overlapping(left)];
}

/** Where a third piece begins within a triangle, a cut edge of one piece coincides with parts of several others. */
function overlapping(rims: readonly Rim[]): Stretch[] {
  const out: Stretch[] = [];
  const order = [...rims].sort((a, b) => a.tri - b.tri);
  for (let from = 0, to = 0; from < order.length; from = to) {
    while (to < order.length && order[to]!.tri === order[from]!.tri) to++;
    for (let i = from; i < to; i++) {
      for (let j = i + 1; j < to; j++) {
        const stretch = overlap(order[i]!, order[j]!);
        if (stretch !== null) out.push(stretch);
      }
    }
  }
  return out;
}

/** Both ends in ten-thousandths of a millimetre, the one at `first` first: edges of two pieces run opposite ways. */
function endsKey(ends: readonly number[], first: 0 | 3): string {
  return ends.map((_, i) => Math.round(ends[(i + first) % 6]! * 1e4)).join(',');
}

const LEAST_OVERLAP_MM = 1e-6;
/** Cuts of the same triangle by the same surface differ by rounding only. */
const MOST_APART_MM = 1e-3;

function overlap(one: Rim, other: Rim): Stretch | null {
  if (one.part === other.part) return null;
  const [ax, ay, az, bx, by, bz] = one.ends as [number, number, number, number, number, number];
  const [dx, dy, dz] = [bx - ax, by - ay, bz - az];
  const length2 = dx * dx + dy * dy + dz * dz;
  if (length2 === 0) return null;
  const shares = [0, 3].map((end) => {
    const x = other.ends[end]! - ax;
    const y = other.ends[end + 1]! - ay;
    const z = other.ends[end + 2]! - az;
    const share = (x * dx + y * dy + z * dz) / length2;
    const off = Math.hypot(x - share * dx, y - share * dy, z - share * dz);
    return off < MOST_APART_MM ? share : Number.NaN;
  });
  const from = Math.max(0, Math.min(shares[0]!, shares[1]!));
  const to = Math.min(1, Math.max(shares[0]!, shares[1]!));
  return (to - from) * Math.sqrt(length2) > LEAST_OVERLAP_MM ? { one, other, from, to } : null;
}

/** Which seam two cut edges belong to: the one a face is marked with when it is between these pieces, else any that is. */
function seamFinder(
  seams: readonly { readonly below: number; readonly above: number }[],
): (one: Rim, other: Rim) => number {
  const isBetween = (seam: number, a: number, b: number): boolean => {
    const { below, above } = seams[seam]!;
    return (below === a && above === b) || (below === b && above === a);
  };
  return (one, other) => {
    for (const { seam } of [one, other]) if (isBetween(seam, one.part, other.part)) return seam;
    return seams.findIndex((_, seam) => isBetween(seam, one.part, other.part));
  };
}

interface PricedStep extends LineStep {
  readonly place: keyof SeamPlaces;
}

function pricedStep(
  one: Rim,
  other: Rim,
  { from, to }: { readonly from: number; readonly to: number },
  price: SeamPrice,
): PricedStep {
  const at = (share: number): number[] =>
    [0, 1, 2].map((c) => one.ends[c]! + share * (one.ends[c + 3]! - one.ends[c]!));
  const mean = (of: Float32Array): number => (of[one.tri]! + of[other.tri]!) / 2;
  const place = placeOf(one.tri, mean, price);
  return { ends: [...at(from), ...at(to)], price: mean(price.price), place, hiding: hidingOf(place) };
}

function placeOf(tri: number, mean: (of: Float32Array) => number, price: SeamPrice): keyof SeamPlaces {
  if (mean(price.crease) > IN_CREASE) return 'creaseMm';
  const from = LOOKED_FROM[price.lookedFrom[tri]!]!;
  return mean(price.seen) < HARDLY_SEEN || from === 'below' ? 'unseenMm' : `${from}Mm`;
}

function hidingOf(place: keyof SeamPlaces): number {
  return SEAM_HIDING.indexOf(place === 'creaseMm' ? 'crease' : place === 'unseenMm' ? 'unseen' : 'open');
}

function shownSeam(steps: readonly PricedStep[]): ShownSeam {
  const places = { creaseMm: 0, frontMm: 0, sidesMm: 0, backMm: 0, aboveMm: 0, unseenMm: 0 };
  let outerMm = 0;
  let costMm = 0;
  for (const { ends: e, price, place } of steps) {
    const length = Math.hypot(e[3]! - e[0]!, e[4]! - e[1]!, e[5]! - e[2]!);
    outerMm += length;
    costMm += length * price;
    places[place] += length;
  }
  return { outerMm, costMm, places, lines: chainedSteps(steps) };
}
