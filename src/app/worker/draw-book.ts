// The line drawings of the book: the shell, the pieces apart, each piece as it lies on its machine.
import { canonicalJson } from '../../base/canonical-json.ts';
import { sha256Hex, sha256OfText } from '../../base/sha256.ts';
import { partOfWork } from '../../base/work.ts';
import { type DrawingPart, type LineKind, lineDrawing } from '../../documents/drawing/line-drawing.ts';
import { type Stroke, svgOf } from '../../documents/drawing/svg.ts';
import { openEdgeChains } from '../../geometry/open-edge-lines.ts';
import { dot } from '../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import type { MeshId } from '../../mesh/mesh-store.ts';
import { invertTransform, transformMesh, transformPositions } from '../../mesh/transform.ts';
import type { Drawings } from '../../workshop/book/book-text.ts';
import { builtPieces } from '../../workshop/book/built-pieces.ts';
import type { BookResults } from '../../workshop/book/graph.ts';
import { joinedOrder } from '../../workshop/book/joined-order.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import type { Join } from '../../workshop/process/joints-record.ts';
import type { PiecesRecord, Seam } from '../../workshop/process/pieces-record.ts';
import { STROKES } from './book-strokes.ts';
import { drawBeds } from './draw-beds.ts';
import { drawDivision } from './draw-division.ts';
import { drawJoint } from './draw-joint.ts';
import { drawReach } from './draw-reach.ts';
import { drawFilling, drawRings } from './draw-surface.ts';
import { farPoints, joinedWays } from './joined-ways.ts';
import { type Kept, NOTHING_KEPT } from './kept.ts';
import { wasMended } from './mend-words.ts';
import { softMarks } from './reach-lines.ts';
import { pennedRuns } from './seam-strokes.ts';
import { supportScars } from './support-scars.ts';
import { wayOut } from './way-out.ts';

/** Heavier: a thumbnail is shown at half its size or less. */
const SMALL_STROKES = Object.fromEntries(
  Object.entries(STROKES).map(([kind, { widthMm, color }]) => [kind, { widthMm: widthMm * 1.6, color }]),
) as Readonly<Record<LineKind, Stroke>>;

export interface DrawOptions {
  /** The mesh as read, file space, drawn as 'as-read' when no shell could be made of it. */
  readonly source: MeshId | null;
  /** A drawing is made once for each surface and pose: another layer height draws nothing anew. */
  readonly kept: Kept;
}

/** 'thumb' (small, for the shelf), 'whole', 'as-read' where something was mended, 'apart', 'joined' (apart along the joins), and 'division-NAME' for every division
 *  proposed, 'joint-SEAM' for every seam that has
 *  keys, 'piece-ID' for every print, and 'scars-ID' for every print that needs support, 'bed-N' for every way beds are laid, 'bed-hours', 'rings', 'filling' and 'reach' (where layers will show, where filler goes, what sands where); whatever is not known yet is left out. */
export function drawBook(results: BookResults, work: ChapterWork, options: Partial<DrawOptions> = {}): Drawings {
  const { source = null, kept = NOTHING_KEPT } = options;
  const { model, wearer, pieces, joints, printing, beds } = results;
  const drawings: Record<string, string> = {};
  const draw = (name: string, depends: readonly unknown[], make: () => string): void => {
    drawings[name] = kept(sha256OfText(`drawing 18 ${canonicalJson([name.split('-')[0], ...depends])}`), make);
  };
  const meshOf = (id: MeshId): Mesh => work.meshes.get(id);
  if (model.state !== 'computed') {
    if (source === null) return drawings;
    draw('thumb', [source], () => drawnSmall(meshOf(source), partOfWork(work, 0, 0.1)));
    draw('as-read', [source], () => drawnAsRead(meshOf(source), partOfWork(work, 0.1, 1)));
    return drawings;
  }
  const shell = wearer.state === 'computed' ? wearer.record : model.record;
  const { fromFile, mended } = model.record;
  if (wasMended(model.record))
    draw('as-read', [mended.asRead, [...fromFile]], () =>
      drawnAsRead(transformMesh(fromFile, meshOf(mended.asRead)), partOfWork(work, 0, 0.2)),
    );
  draw('thumb', [shell.mesh], () => drawnSmall(meshOf(shell.mesh), partOfWork(work, 0.2, 0.22)));
  draw('whole', [shell.mesh], () => {
    const parts = [{ id: 'shell', mesh: meshOf(shell.mesh) }];
    return drawn(parts, 'The shell from its front left', partOfWork(work, 0.22, 0.4));
  });
  if (pieces.state !== 'computed' || pieces.record.pieces.length === 0) return drawings;
  const { record } = pieces;
  const built = builtPieces(results) ?? [];
  if (record.pieces.length > 1)
    draw('apart', [pieces.fingerprint, ...built.map(({ mesh }) => mesh)], () =>
      drawn(
        partsApart({ ...record, pieces: built }, shell.sizeMm, work),
        'The pieces apart',
        partOfWork(work, 0.4, 0.6),
      ),
    );
  for (const [index, proposal] of record.proposals.entries()) {
    if (proposal.sameAs !== null) continue;
    const part = partOfWork(work, 0.6 + 0.03 * index, 0.63 + 0.03 * index);
    draw(`division-${proposal.name}`, [pieces.fingerprint, proposal.name], () =>
      drawDivision(meshOf(shell.mesh), proposal, record, part),
    );
  }
  if (joints.state === 'computed') {
    const order = joinedOrder(results).map(({ moving, onto, towards, seams }) => ({ moving, onto, towards, seams }));
    if (order.length > 0)
      draw('joined', [pieces.fingerprint, order, ...built.map(({ mesh }) => mesh)], () =>
        drawnJoined({ ...record, pieces: built }, order, { sizeMm: shell.sizeMm, work }),
      );
    for (const joint of joints.record.joints) {
      if (joint.keys.length === 0) continue;
      draw(`joint-${joint.seam}`, [joints.fingerprint, joint.seam], () => {
        const { carrier, receiver } = joint.keys[0]!;
        const sides = built.filter(({ id }) => id === carrier || id === receiver);
        const loose = joints.record.loose.filter(({ seam }) => seam === joint.seam);
        return drawJoint(
          joint,
          [...sides, ...loose.filter(({ mesh }) => mesh !== null)].map(({ id, mesh }) => ({ id, mesh: meshOf(mesh!) })),
          loose[0]?.lengthMm,
        );
      });
    }
  }
  if (printing.state !== 'computed') return drawings;
  const { prints } = printing.record;
  if (results.surface.state === 'computed') {
    const { overhangLimitDeg } = printing.record;
    const laid = built.flatMap((piece) =>
      prints.filter((print) => print.piece === piece.id).map(({ toModel }) => ({ piece, toModel })),
    );
    const depends = [pieces.fingerprint, ...laid.map(({ piece, toModel }) => [piece.mesh, [...toModel]])];
    draw('rings', [shell.mesh, overhangLimitDeg, ...depends], () =>
      drawRings(meshOf(shell.mesh), laid, { ...record, overhangLimitDeg }, partOfWork(work, 0.7, 0.72)),
    );
    const { pieces: surfaces, reach } = results.surface.record;
    const started = surfaces.map(({ starts }) => starts.bedDeg);
    draw('filling', [overhangLimitDeg, started, ...depends], () =>
      drawFilling(laid, { ...record, overhangLimitDeg, surfaces }, partOfWork(work, 0.72, 0.74)),
    );
    draw('reach', [shell.mesh, sha256Hex(reach.perTri), sha256Hex(softMarks(reach))], () =>
      drawReach(meshOf(shell.mesh), reach, partOfWork(work, 0.74, 0.76)),
    );
  }
  for (const [index, print] of prints.entries()) {
    const piece = built.find((candidate) => candidate.id === print.piece);
    if (piece === undefined) continue;
    const part = partOfWork(work, 0.7 + (0.3 * index) / prints.length, 0.7 + (0.3 * (index + 1)) / prints.length);
    const { overhangLimitDeg } = printing.record;
    const depends = [piece.id, piece.mesh, [...print.toModel], overhangLimitDeg];
    const laid = (): Mesh => transformMesh(invertTransform(print.toModel), meshOf(piece.mesh));
    draw(`piece-${piece.id}`, depends, () => {
      const mesh = laid();
      const hatched = print.supportG > 0 ? supportScars(mesh, overhangLimitDeg).feet : [];
      return drawnLaid({ id: piece.id, mesh, hatched }, `Piece ${piece.id} as it lies`, part);
    });
    if (print.supportG === 0) continue;
    draw(`scars-${piece.id}`, depends, () => {
      const mesh = laid();
      const hatched = supportScars(mesh, overhangLimitDeg).held;
      const title = `Piece ${piece.id} as it lies, from below, hatched where support holds it`;
      return drawnLaid({ id: piece.id, mesh, hatched }, title, part, FROM_BELOW);
    });
  }
  if (beds.state !== 'computed') return drawings;
  for (const [name, make] of drawBeds(beds.record)) draw(name, [name, beds.fingerprint], make);
  return drawings;
}

function partsApart(record: PiecesRecord, sizeMm: Vec3, { meshes }: ChapterWork): readonly DrawingPart[] {
  return record.pieces.map((piece): DrawingPart => {
    const mesh = meshes.get(piece.mesh);
    const way = wayOut(mesh, sizeMm);
    const shift = way.unit.map((u) => u * way.mm) as unknown as Vec3;
    const seams = record.seams.filter((seam) => seam.pieces.includes(piece.id));
    return {
      id: piece.id,
      mesh: shifted(mesh, shift),
      seams: seams.flatMap(({ outlines }) => outlines.map((loop) => shiftedLoop(loop, shift))),
      weighted: seams
        .flatMap(({ lines }) => lines.flatMap(pennedRuns))
        .map(({ points, pen }) => ({ points: shiftedLoop(points, shift), pen })),
      letter: piece.id,
    };
  });
}

/** Pieces stand apart along the ways of their joins by this share of the largest size. */
const DRAWN_SHARE = 0.3;

/** The pieces drawn out along their ways, each with its letter, each way with the number of its join. */
function drawnJoined(
  { pieces, seams }: PiecesRecord,
  order: readonly Join[],
  { sizeMm, work }: { readonly sizeMm: Vec3; readonly work: ChapterWork },
): string {
  const drawnOut = joinedWays(order, seams, DRAWN_SHARE * Math.max(...sizeMm));
  const at = (id: string, [x, y, z]: Vec3): Vec3 => {
    const [dx, dy, dz] = drawnOut.get(id)?.shiftMm ?? [0, 0, 0];
    return [x + dx, y + dy, z + dz];
  };
  const parts = pieces.map(({ id, mesh }): DrawingPart => {
    const shift = at(id, [0, 0, 0]);
    const own = seams.filter((seam) => seam.pieces.includes(id));
    const ways = order.flatMap((join, index) =>
      join.moving.includes(id) ? ownWays(join, { id, seams: own, at, name: String(index + 1) }) : [],
    );
    return {
      id,
      mesh: shifted(work.meshes.get(mesh), shift),
      seams: own.flatMap(({ outlines }) => outlines.map((loop) => shiftedLoop(loop, shift))),
      ways,
      letter: id,
    };
  });
  const size = { widthMm: 150, maxHeightMm: 120, maxBytes: 120_000 };
  const title = 'The pieces apart along the ways by which they are joined, numbered in their order';
  return svgOf(lineDrawing(parts, size, partOfWork(work, 0.6, 0.7)), { title, strokes: STROKES });
}

/** A way may look this far off that of its join (cosine), where the other piece has been drawn out as well. */
const STRAIGHT = 0.99;

/** From the far points of the seams that the join closes to where the other pieces stand; where some of these lines run along the join's
 *  way, only those. */
function ownWays(
  { seams: closes, towards }: Join,
  by: {
    readonly id: string;
    readonly seams: readonly Seam[];
    readonly at: (id: string, point: Vec3) => Vec3;
    readonly name: string;
  },
): readonly { readonly points: Float32Array; readonly name: string }[] {
  const lines = by.seams
    .filter((seam) => closes.includes(seam.id))
    .flatMap((seam) => {
      const other = seam.pieces[0] === by.id ? seam.pieces[1] : seam.pieces[0];
      return farPoints(seam.outlines).map((point) => [by.at(by.id, point), by.at(other, point)] as const);
    });
  const straight = lines.filter(([from, to]) => {
    const way: Vec3 = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
    return dot(way, towards) > STRAIGHT * Math.hypot(...way);
  });
  return (straight.length > 0 ? straight : lines).map(([from, to]) => ({
    points: Float32Array.of(...from, ...to),
    name: by.name,
  }));
}

/** Where it is open its rims are red, as seams are: take care. */
function drawnAsRead(mesh: Mesh, work: ChapterWork): string {
  const rims = openEdgeChains(mesh);
  return drawn([{ id: 'as-read', mesh, rims }], 'The model as it came, from its front left', work);
}

/** A few lines in the same pen, for the shelf: folds and sharp edges, no shading. */
function drawnSmall(mesh: Mesh, work: ChapterWork): string {
  const drawing = lineDrawing(
    [{ id: 'shell', mesh }],
    { widthMm: 120, maxHeightMm: 120, maxBytes: 10_000, simplifyMm: 0.15, pixelsPerMm: 7, stepMm: 0.8 },
    work,
  );
  return svgOf(drawing, { title: '', strokes: SMALL_STROKES });
}

function drawn(parts: readonly DrawingPart[], title: string, work: ChapterWork): string {
  const size = { widthMm: 150, maxHeightMm: 170, shade: 'lines' as const };
  return svgOf(lineDrawing(parts, size, work), { title, strokes: STROKES });
}

/** The side that stands nearest in the drawing from above is nearest here too. */
const FROM_BELOW: Vec3 = [-0.45, 0.62, 0.64];

/** Small: pieces stand side by side. */
function drawnLaid(part: DrawingPart, title: string, work: ChapterWork, viewDir?: Vec3): string {
  const size = { widthMm: 60, maxHeightMm: 60, maxBytes: 40_000, ...(viewDir === undefined ? {} : { viewDir }) };
  return svgOf(lineDrawing([part], size, work), { title, strokes: STROKES });
}

function shifted(mesh: Mesh, by: Vec3): Mesh {
  return transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, ...by], mesh);
}

function shiftedLoop(loop: Float32Array, by: Vec3): Float32Array {
  return Float32Array.from(transformPositions([1, 0, 0, 0, 1, 0, 0, 0, 1, ...by], Float64Array.from(loop)));
}
