// A piece's letter and an arrow that points up, engraved on its inside where the wall is thick and flat: no piece is taken for another or glued in
// the wrong way up.
import { sampleSurface } from '../../../geometry/surface-points.ts';
import { cross, plus, scaled, unit, within } from '../../../geometry/three-by-three.ts';
import { closestPoint } from '../../../mesh/closest-point.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../mesh/mesh.ts';
import { raycast } from '../../../mesh/ray.ts';
import { compactMesh } from '../../../mesh/weld.ts';
import type { GroundPiece, KeyGround } from './key-ground.ts';
import { STROKE_ARROW, strokeWord } from './stroke-letters.ts';

/** A place on which nothing is to be engraved: a key, with its room. */
export interface KeptOff {
  readonly atMm: Vec3;
  readonly radiusMm: number;
}

export interface PieceMark {
  /** To be cut from the piece; empty where there is no place. */
  readonly cut: readonly Mesh[];
  /** Middle of the mark on the inside; null without a mark. */
  readonly atMm: Vec3 | null;
  readonly depthMm: number;
  /** Why it is shallower than it should be, or not there; null where there is nothing to say. */
  readonly why: string | null;
}

export interface MarkOptions {
  readonly letter: string;
  readonly skinMm: number;
  readonly keepOff?: readonly KeptOff[];
  readonly seed?: number;
}

export const MARK_DEFAULTS = {
  depthMm: 0.5,
  /** Shallower than one layer it would not be seen. */
  leastDepthMm: 0.2,
  /** Height of letter and arrow, largest first, mm. */
  heightsMm: [12, 9, 7],
  /** Width of a stroke: two lines of a 0.4 mm nozzle. */
  strokeMm: 0.9,
  /** Free all round it. */
  marginMm: 1.5,
  /** How far the wall may leave a plane under the mark, mm. */
  mostUnevenMm: 1.5,
  /** Places looked at. */
  places: 500,
} as const;

/** The letter and to its right the arrow, upright as seen from inside, the arrow along model +Z as it lies on the wall. Where the wall leaves
 *  less than `skinMm` under the full depth the mark is shallower, and where not even that fits, there is none: `why` says so.
 *  Cuts follow the wall, so that the depth is the same on a curved one. Space: model, worn. Cost: some 60 rays a place.
 *  Weak: looks at 500 places spread over the inside; a piece with room at one place only may be missed. */
export function pieceMark(piece: GroundPiece, ground: KeyGround, options: MarkOptions): PieceMark {
  const none = (why: string): PieceMark => ({ cut: [], atMm: null, depthMm: 0, why });
  const inside = insideOf(piece, ground.seen);
  if (inside.triangles.length === 0) return none(`Piece ${options.letter} has no inside to engrave.`);
  const samples = sampleSurface(inside, MARK_DEFAULTS.places, options.seed ?? 1);
  let thickest = 0;
  for (const heightMm of MARK_DEFAULTS.heightsMm) {
    const drawing = drawingOf(options.letter, heightMm);
    let best: { readonly worth: number; readonly ground: MarkGround } | null = null;
    for (let i = 0; i < samples.num; i++) {
      const at = vecAt(samples.points, i);
      const found = groundAt(piece, ground, { at, normal: vecAt(samples.normals, i), drawing, options });
      if (found === null) continue;
      thickest = Math.max(thickest, found.wallMm);
      const depthMm = depthFor(found.wallMm, options.skinMm);
      if (depthMm < MARK_DEFAULTS.leastDepthMm) continue;
      // Depth first, then flat, then upright; thickness beyond what the depth needs hardly counts.
      const worth = 100 * depthMm - 4 * found.unevenMm + 5 * found.upright + 0.5 * Math.min(10, found.wallMm);
      if (best === null || worth > best.worth) best = { worth, ground: found };
    }
    if (best === null) continue;
    const depthMm = depthFor(best.ground.wallMm, options.skinMm);
    const shallow = depthMm < MARK_DEFAULTS.depthMm - 1e-9;
    return {
      cut: grooves(best.ground, drawing.strokes, depthMm),
      atMm: best.ground.at,
      depthMm,
      why: shallow
        ? `The mark of piece ${options.letter} is ${depthMm.toFixed(2)} mm deep: the wall of ${best.ground.wallMm.toFixed(1)} mm leaves no more over ${options.skinMm} mm of skin.`
        : null,
    };
  }
  return none(
    thickest > 0
      ? `Piece ${options.letter} has no mark: where it is flat enough its wall is ${thickest.toFixed(1)} mm, and ${(options.skinMm + MARK_DEFAULTS.leastDepthMm).toFixed(1)} mm would do.`
      : `Piece ${options.letter} has no mark: no place inside is flat, free and steep enough for one of ${MARK_DEFAULTS.heightsMm.at(-1)} mm.`,
  );
}

function depthFor(wallMm: number, skinMm: number): number {
  return Math.min(MARK_DEFAULTS.depthMm, wallMm - skinMm);
}

interface Drawing {
  readonly widthMm: number;
  readonly heightMm: number;
  /** Polylines about the middle, xy interleaved, mm. */
  readonly strokes: readonly (readonly number[])[];
}

function drawingOf(letter: string, heightMm: number): Drawing {
  const word = strokeWord(letter);
  const gap = word.width > 0 ? ARROW_GAP : 0;
  const width = word.width + gap + STROKE_ARROW.width;
  const placed = (strokes: readonly (readonly number[])[], fromX: number): number[][] =>
    strokes.map((stroke) =>
      stroke.map((value, i) => (i % 2 === 0 ? value + fromX - width / 2 : value - 0.5) * heightMm),
    );
  return {
    widthMm: width * heightMm,
    heightMm,
    strokes: [...placed(word.strokes, 0), ...placed(STROKE_ARROW.strokes, word.width + gap)],
  };
}

/** Between the letter and the arrow, in heights. */
const ARROW_GAP = 0.4;

/** The wall under a mark: heights over a plane through its middle. */
interface MarkGround {
  readonly at: Vec3;
  readonly right: Vec3;
  readonly up: Vec3;
  readonly normal: Vec3;
  readonly wallMm: number;
  readonly unevenMm: number;
  /** 1 on an upright wall, 0 under a ceiling. */
  readonly upright: number;
  /** Height of the wall over the plane; NaN where there is none. */
  heightAt(x: number, y: number): number;
}

function groundAt(
  piece: GroundPiece,
  ground: KeyGround,
  by: { readonly at: Vec3; readonly normal: Vec3; readonly drawing: Drawing; readonly options: MarkOptions },
): MarkGround | null {
  const { at, normal, drawing } = by;
  const reach = Math.hypot(drawing.widthMm, drawing.heightMm) / 2 + MARK_DEFAULTS.marginMm;
  if (by.options.keepOff?.some((off) => distance(off.atMm, at) < off.radiusMm + reach)) return null;
  const rise = within(normal, [0, 0, 1]);
  const upright = Math.hypot(rise[0], rise[1], rise[2]);
  if (upright < LEAST_UPRIGHT) return null;
  const up = unit(rise);
  const right = cross(up, normal);
  const heightAt = (x: number, y: number): number => {
    const from = plus(plus(at, scaled(normal, OVER_MM)), plus(scaled(right, x), scaled(up, y)));
    const hit = raycast(piece.tree, from, scaled(normal, -1), { to: 2 * OVER_MM });
    if (hit === null) return Number.NaN;
    const source = piece.sourceTri[hit.tri]!;
    return source < 0 || ground.seen[source] !== 0 ? Number.NaN : OVER_MM - hit.t;
  };
  const [w, h] = [drawing.widthMm / 2 + MARK_DEFAULTS.marginMm, drawing.heightMm / 2 + MARK_DEFAULTS.marginMm];
  let [low, high, wallMm] = [0, 0, Infinity];
  for (let j = -4; j <= 4; j++)
    for (let i = -3; i <= 3; i++) {
      const [x, y] = [(w * i) / 3, (h * j) / 4];
      const height = heightAt(x, y);
      if (!(Math.abs(height) <= MARK_DEFAULTS.mostUnevenMm)) return null;
      [low, high] = [Math.min(low, height), Math.max(high, height)];
      const place = plus(plus(at, scaled(normal, height)), plus(scaled(right, x), scaled(up, y)));
      wallMm = Math.min(wallMm, closestPoint(ground.outside, place)?.distanceMm ?? Infinity);
    }
  if (high - low > MARK_DEFAULTS.mostUnevenMm) return null;
  return { at, right, up, normal, wallMm, unevenMm: high - low, upright, heightAt };
}

/** Rays begin so far over the wall: what stands lower over it is in the way. */
const OVER_MM = 6;
/** Sine of the least slope on which an arrow still points up: 10 degrees. */
const LEAST_UPRIGHT = 0.17;

/** Troughs of even depth below the wall, one for each straight run of a stroke, half a stroke longer at either end so that they meet. Each is a
 *  hair shallower than the one before: floors in one plane would leave slivers where they meet. */
function grooves(mark: MarkGround, strokes: Drawing['strokes'], depthMm: number): Mesh[] {
  return strokes
    .flatMap((stroke) =>
      Array.from({ length: stroke.length / 2 - 1 }, (_, i) => stroke.slice(i * 2, i * 2 + 4) as unknown as Run),
    )
    .map((run, i) => trough(mark, run, depthMm - (i % DEPTHS) * DEPTH_STEP_MM));
}

type Run = readonly [number, number, number, number];
const DEPTHS = 5;
const DEPTH_STEP_MM = 0.01;
/** Cuts begin so far over the wall, mm. */
const ABOVE_MM = 0.6;
const STEP_MM = 1.5;

function trough(mark: MarkGround, [x0, y0, x1, y1]: Run, depthMm: number): Mesh {
  const half = MARK_DEFAULTS.strokeMm / 2;
  const length = Math.hypot(x1 - x0, y1 - y0);
  const [tx, ty] = [(x1 - x0) / length, (y1 - y0) / length];
  const steps = Math.ceil((length + 2 * half) / STEP_MM);
  const positions: number[] = [];
  for (let i = 0; i <= steps; i++) {
    const along = -half + ((length + 2 * half) * i) / steps;
    for (const side of [-half, half]) {
      const [x, y] = [x0 + along * tx - side * ty, y0 + along * ty + side * tx];
      const wall = mark.heightAt(x, y);
      const foot = plus(mark.at, plus(scaled(mark.right, x), scaled(mark.up, y)));
      for (const height of [wall - depthMm, wall + ABOVE_MM])
        positions.push(...plus(foot, scaled(mark.normal, height)));
    }
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(troughTriangles(steps)));
}

/** Four corners a step: low and high on its right, low and high on its left. */
function troughTriangles(steps: number): number[] {
  const triangles: number[] = [];
  const quad = (a: number, b: number, c: number, d: number): number => triangles.push(a, b, c, a, c, d);
  for (let i = 0; i < steps; i++) {
    const [a, b] = [i * 4, i * 4 + 4];
    quad(a, a + 2, b + 2, b);
    quad(a + 1, b + 1, b + 3, a + 3);
    quad(a, b, b + 1, a + 1);
    quad(a + 2, a + 3, b + 3, b + 2);
  }
  quad(0, 1, 3, 2);
  const end = steps * 4;
  quad(end, end + 2, end + 3, end + 1);
  return triangles;
}

/** The triangles of a piece that come from the inside of the shell. */
function insideOf({ mesh, sourceTri }: GroundPiece, seen: Uint8Array): Mesh {
  const out = new Uint32Array(mesh.triangles.length);
  let kept = 0;
  for (let tri = 0; tri < sourceTri.length; tri++) {
    if (sourceTri[tri]! < 0 || seen[sourceTri[tri]!] !== 0) continue;
    for (let c = 0; c < 3; c++) out[kept++] = mesh.triangles[tri * 3 + c]!;
  }
  return compactMesh(meshOf(mesh.positions, out.slice(0, kept)));
}

function vecAt(values: Float64Array, i: number): Vec3 {
  return [values[i * 3]!, values[i * 3 + 1]!, values[i * 3 + 2]!];
}

function distance(a: Vec3, b: Vec3): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}
