// Where the layers of a piece are best started, and the track that leaves on its outside.
import type { Work } from '../../base/work.ts';
import { type ContourStarts, contourStarts } from '../../geometry/contour-starts.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { invertTransform, type Transform, transformPositions, turnVector } from '../../mesh/transform.ts';
import type { Piece } from '../process/pieces-record.ts';
import type { LayerStarts, StartKind } from '../process/surface-record.ts';

/** Between directions that are tried. */
const STEP_DEG = 10;
/** Contours are looked at so far apart in height. */
const BAND_MM = 2;
/** A track runs at most so many times as far as it rises: beyond it is single marks on a level face. */
const MOST_RUN = 8;
/** The wearer's back lies level enough to be a direction of the bed: 17 degrees from vertical. */
const LEAST_LEVEL = 0.3;
const SPREAD: LayerStarts = { kind: 'spread', bedDeg: null, trackMm: 0, seamMm: 0, seenMm: 0, costMm: 0, lines: [] };

interface Asked {
  readonly toModel: Transform;
  /** Per triangle of the worn shell, 1 to 255 by how much it is looked at, 0 on the inside. */
  readonly seen: Uint8Array;
  readonly kind: StartKind;
}

/** `laid`: the mesh of the piece as it lies. Cost: that of `contourStarts` and one look at each of its points. Method: docs/methods/layer-starts.md. */
export function layerStarts(
  laid: Mesh,
  { sourceTri }: Pick<Piece, 'sourceTri'>,
  { toModel, seen, kind }: Asked,
  work: Work,
): LayerStarts {
  if (kind === 'spread') return SPREAD;
  const backDeg = backOnBed(toModel);
  const all = Array.from({ length: 360 / STEP_DEG }, (_, i) => i * STEP_DEG);
  const bedDegs = backDeg === null ? all : kind === 'back' ? [backDeg] : [...all, backDeg];
  const starts = contourStarts(laid, bedDegs, BAND_MM, work);
  const lookedAt = (tri: number): number => {
    const source = sourceTri[tri]!;
    return source < 0 ? MATING : seen[source]!;
  };
  const tracks = tracksOf(laid, starts, { numDirections: bedDegs.length, lookedAt });
  const best = kind === 'back' && backDeg !== null ? 0 : leastSeen(tracks, all.length);
  const lines = linesOf(starts, { direction: best, numDirections: bedDegs.length, lookedAt });
  return {
    kind: backDeg === null ? 'hidden' : kind,
    bedDeg: bedDegs[best]!,
    ...tracks[best]!,
    lines: lines.map((line) => Float32Array.from(transformPositions(toModel, line))),
  };
}

/** Where model +Y points to on the bed, degrees counter-clockwise from x, 0 to 360; null where that is up or down. */
function backOnBed(toModel: Transform): number | null {
  const [x, y, z] = turnVector(invertTransform(toModel), [0, 1, 0]);
  const level = Math.hypot(x, y);
  if (level < LEAST_LEVEL * Math.hypot(level, z)) return null;
  const deg = (Math.atan2(y, x) * 180) / Math.PI;
  return deg < 0 ? deg + 360 : deg;
}

type Track = Pick<LayerStarts, 'trackMm' | 'seamMm' | 'seenMm' | 'costMm'>;

/** What differs by less is the same, mm. */
const SAME_MM = 1e-6;

function isLess(a: Track, b: Track): boolean {
  const differsMm = a.costMm - b.costMm;
  return Math.abs(differsMm) > SAME_MM ? differsMm < 0 : a.seenMm < b.seenMm - SAME_MM;
}

/** The middle of the longest run of directions in which least is seen: a start aimed a little past it stays where it is. The first `num` tracks go all round; one
 *  more, that of the back, is taken where it is less than these or they are all the same. */
function leastSeen(tracks: readonly Track[], num: number): number {
  const least = tracks.reduce((least, track, i) => (isLess(track, tracks[least]!) ? i : least), 0);
  const isLeast = (i: number): boolean => !isLess(tracks[least]!, tracks[i % num]!);
  if (least >= num) return least;
  const runs = Array.from({ length: num }, (_, from) => {
    let length = 0;
    while (length < num && isLeast(from + length)) length++;
    return { from, length };
  });
  const longest = runs.reduce((most, run) => (run.length > most.length ? run : most));
  if (longest.length === num) return tracks.length - 1;
  return (longest.from + Math.floor((longest.length - 1) / 2)) % num;
}

const MATING = -1;

interface Seen {
  readonly numDirections: number;
  /** How much a triangle of the piece is looked at, 0 to 255; MATING on a mating face. */
  readonly lookedAt: (tri: number) => number;
}

/** A band of height adds the length of its slope there; a point on an edge lies half on the triangle before it, half on the one after. */
function tracksOf(
  laid: Mesh,
  { numContours, bandMm, tris }: ContourStarts,
  { numDirections, lookedAt }: Seen,
): Track[] {
  const sums = Array.from({ length: numDirections }, () => ({ trackMm: 0, seamMm: 0, seenMm: 0, costMm: 0 }));
  for (let i = 0; i < numContours * numDirections; i++) {
    const sum = sums[i % numDirections]!;
    const [before, after] = [tris[2 * i]!, tris[2 * i + 1]!];
    const atSeam = isAtSeam(lookedAt(before), lookedAt(after));
    for (const tri of [before, after]) {
      const lengthMm = (bandMm / 2) * runOf(laid, tri);
      const looked = Math.max(0, lookedAt(tri));
      sum.trackMm += lengthMm;
      sum.costMm += (lengthMm * looked) / 255;
      if (atSeam) sum.seamMm += lengthMm;
      else if (looked > 0) sum.seenMm += lengthMm;
    }
  }
  return sums;
}

/** Where the outside ends at a mating face. */
function isAtSeam(before: number, after: number): boolean {
  return Math.min(before, after) === MATING && Math.max(before, after) > 0;
}

/** How far one goes up its slope for each millimetre of height. */
function runOf({ positions: p, triangles }: Mesh, tri: number): number {
  const [a, b, c] = [triangles[tri * 3]! * 3, triangles[tri * 3 + 1]! * 3, triangles[tri * 3 + 2]! * 3];
  const [ex, ey, ez] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
  const [fx, fy, fz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
  const [nx, ny, nz] = [ey * fz - ez * fy, ez * fx - ex * fz, ex * fy - ey * fx];
  const level = Math.hypot(nx, ny);
  const length = Math.hypot(level, nz);
  return length < MOST_RUN * level ? length / level : length === 0 ? 1 : MOST_RUN;
}

/** Points of neighbouring heights that lie no farther apart than a track can run, where either side is seen; at seams there is the seam to be filled anyway. */
function linesOf(
  starts: ContourStarts,
  { direction, numDirections, lookedAt }: Seen & { direction: number },
): Float64Array[] {
  const { numContours, bandMm, heightMm, pointsMm, tris } = starts;
  const lines: number[][] = [];
  let open: number[][] = [];
  for (let from = 0, to = 0; from < numContours; from = to) {
    const next: number[][] = [];
    for (; to < numContours && heightMm[to] === heightMm[from]; to++) {
      const at = 2 * (to * numDirections + direction);
      const [before, after] = [lookedAt(tris[at]!), lookedAt(tris[at + 1]!)];
      if (Math.max(before, after) <= 0 || isAtSeam(before, after)) continue;
      const point = [pointsMm[at]!, pointsMm[at + 1]!, heightMm[to]!] as const;
      const below = takeNearest(open, point, bandMm);
      if (below === null) lines.push([]);
      const line = below ?? lines.at(-1)!;
      line.push(...point);
      next.push(line);
    }
    open = next;
  }
  return lines.filter(({ length }) => length > 3).map((line) => Float64Array.from(line));
}

/** Of the lines that end in the band below; it is taken out of them. */
function takeNearest(open: number[][], [x, y, z]: readonly [number, number, number], bandMm: number): number[] | null {
  let nearest = -1;
  let leastMm = MOST_RUN * bandMm;
  for (const [i, line] of open.entries()) {
    const end = line.length - 3;
    const apartMm = Math.hypot(x - line[end]!, y - line[end + 1]!);
    if (z - line[end + 2]! > 1.5 * bandMm || apartMm > leastMm) continue;
    nearest = i;
    leastMm = apartMm;
  }
  return nearest < 0 ? null : open.splice(nearest, 1)[0]!;
}
