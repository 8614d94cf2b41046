// The maps of the surface on the worn helm: where rings of layers will show, and where filler goes.
import type { DrawingPart } from '../../documents/drawing/line-drawing.ts';
import { hatchLines } from '../../geometry/hatch-lines.ts';
import { heldTriangles } from '../../geometry/support-columns.ts';
import { bounds, sizeOf } from '../../mesh/measure.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { invertTransform, type Transform, transformMesh, transformPositions } from '../../mesh/transform.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import type { Piece, Seam } from '../../workshop/process/pieces-record.ts';
import type { PieceSurface } from '../../workshop/process/surface-record.ts';
import { pennedRuns } from './seam-strokes.ts';
import { twoSides } from './two-sides.ts';

/** Lines run as layers do, so far apart in height: the flatter it is, the wider apart, so that ledges of a few millimetres get one too. */
const RISE_MM = 1;
/** Lines of hatching along the longest side of a piece. */
const HATCHES = 60;
const LEANING: Vec3 = [Math.SQRT1_2, Math.SQRT1_2, 0];

/** A piece with how it lies. */
export interface LaidPiece {
  readonly piece: Pick<Piece, 'id' | 'mesh' | 'sourceTri'>;
  readonly toModel: Transform;
}

/** What is known of all pieces. */
export interface LaidOutside {
  /** Per triangle of the worn shell, 0 on the inside. */
  readonly seen: Uint8Array;
  readonly overhangLimitDeg: number;
}

/** Lines along the layers where the outside leans less than 45 degrees from level and no support holds it. */
export function drawRings(shell: Mesh, pieces: readonly LaidPiece[], of: LaidOutside, work: ChapterWork): string {
  // drawn on the whole shell: seams between pieces would be as red as the rings
  const hatched = pieces.flatMap((one) => ringLines(one, of, work));
  return twoSides([{ id: 'shell', mesh: shell, hatched }], 'Where rings of layers will show, from its', work);
}

/** Lines (xyz ...) along the layers of what the chapter counts as rings. Space: worn. */
export function ringLines(one: LaidPiece, { seen, overhangLimitDeg }: LaidOutside, work: ChapterWork): Float32Array[] {
  const laid = transformMesh(invertTransform(one.toModel), work.meshes.get(one.piece.mesh));
  const isHeld = new Uint8Array(laid.triangles.length / 3);
  for (const t of heldTriangles(laid, overhangLimitDeg)) isHeld[t / 3] = 1;
  const rings = outside(one, seen, flatTriangles(laid)).filter((t) => isHeld[t / 3] === 0);
  return inModel(hatchLines(laid, rings, { normal: [0, 0, 1], spacingMm: RISE_MM }), one.toModel);
}

/** Seams by what shows of them, hatching where support marks the outside, and dashes where layers start. */
export function drawFilling(
  pieces: readonly LaidPiece[],
  of: LaidOutside & {
    readonly seams: readonly Seam[];
    readonly surfaces: readonly Pick<PieceSurface, 'piece' | 'starts'>[];
  },
  work: ChapterWork,
): string {
  const parts = pieces.map((one): DrawingPart => {
    const mesh = work.meshes.get(one.piece.mesh);
    const part = { id: one.piece.id, mesh, hatched: fillingLines(one, of, HATCHES, work) };
    const own = of.seams.filter((seam) => seam.pieces[0] === one.piece.id);
    const tracks = of.surfaces.find(({ piece }) => piece === one.piece.id)?.starts.lines ?? [];
    return { ...part, tracks, weighted: own.flatMap(({ lines }) => lines.flatMap(pennedRuns)) };
  });
  return twoSides(parts, 'Where filler goes, from its', work);
}

/** Lines (xyz ...) where support marks the outside, so many along the longest side of the piece as it lies. Space: worn. */
export function fillingLines(
  one: LaidPiece,
  { seen, overhangLimitDeg }: LaidOutside,
  hatches: number,
  work: ChapterWork,
): Float32Array[] {
  const laid = transformMesh(invertTransform(one.toModel), work.meshes.get(one.piece.mesh));
  const spacingMm = Math.max(...sizeOf(bounds(laid))) / hatches;
  const scars = outside(one, seen, heldTriangles(laid, overhangLimitDeg));
  return inModel(hatchLines(laid, scars, { normal: LEANING, spacingMm }), one.toModel);
}

function inModel(lines: readonly Float32Array[], toModel: Transform): Float32Array[] {
  return lines.map((line) => Float32Array.from(transformPositions(toModel, Float64Array.from(line))));
}

function outside({ piece }: LaidPiece, seen: Uint8Array, some: Uint32Array): Uint32Array {
  return some.filter((t) => {
    const source = piece.sourceTri[t / 3]!;
    return source >= 0 && seen[source] !== 0;
  });
}

/** Offsets of those that lean less than 45 degrees from level. */
function flatTriangles({ positions: p, triangles }: Mesh): Uint32Array {
  const found: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]! * 3, triangles[t + 1]! * 3, triangles[t + 2]! * 3];
    const [ex, ey, ez] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const [fx, fy, fz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    if (Math.abs(ex * fy - ey * fx) > Math.hypot(ey * fz - ez * fy, ez * fx - ex * fz)) found.push(t);
  }
  return Uint32Array.from(found);
}
