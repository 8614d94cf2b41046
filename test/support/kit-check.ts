// An independent look at a written kit: plain readers of its files, planar polygons by the solid kernel's own 2D library.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import type { CrossSection, ManifoldToplevel } from 'manifold-3d';
import Module from 'manifold-3d';
import type { Plan } from '../../src/workshop/book/plan-record.ts';
import { moved, plainBadEdges, plainBox, plainStl, plainVolume } from './plain-stl.ts';

export interface KitCheck {
  readonly badEdges: number;
  /** Largest amount by which a piece stands out of its bed less margin; negative when all have room. */
  readonly overMm: number;
  readonly volumeOff: number;
  /** Per seam: relative difference of its area to the section of the input, and to the flat facets of the written piece. */
  readonly seams: readonly { readonly id: string; readonly offSection: number; readonly offWritten: number }[];
  readonly threemfOff: number;
  readonly pieces: number;
}

type Point = readonly [number, number, number];

let kernel: Promise<ManifoldToplevel> | undefined;

/** dir: a kit; inputFile: the STL it was made from, in mm. bedsMm by machine id as in build.json. */
export async function checkKit(dir: string, inputFile: string): Promise<KitCheck> {
  kernel ??= Module().then((module) => {
    module.setup();
    return module;
  });
  const module = await kernel;
  const plan = JSON.parse(readFileSync(join(dir, 'plan.json'), 'utf8')) as Plan;
  const build = JSON.parse(readFileSync(join(dir, 'build.json'), 'utf8')) as {
    machines: { id: string; bedMm: number[] }[];
    pieces: { marginMm: number };
  };
  const input = moved(plainStl(inputFile), plan.model.fromFile);
  const pieces = new Map(plan.pieces.map((piece) => [piece.id, plainStl(join(dir, piece.file))]));
  const inModel = new Map(plan.pieces.map((piece) => [piece.id, moved(pieces.get(piece.id)!, piece.toModel)]));
  const volume = [...pieces.values()].reduce((sum, corners) => sum + plainVolume(corners), 0);
  const over = plan.pieces.map((piece) => {
    const bed = build.machines.find((machine) => machine.id === piece.bed)!.bedMm;
    return standsOut(pieces.get(piece.id)!, bed, build.pieces.marginMm);
  });
  return {
    badEdges: [...pieces.values()].reduce((sum, corners) => sum + plainBadEdges(corners), 0),
    overMm: Math.max(...over),
    volumeOff: Math.abs(volume / plainVolume(input) - 1),
    seams: plan.seams.map((seam) => checkSeam(module, plan, seam, { input, inModel })),
    threemfOff: compareThreemf(dir, plan, pieces),
    pieces: plan.pieces.length,
  };
}

export interface PiecesCheck {
  readonly badEdges: number;
  readonly overMm: number;
  /** Volumes of the written pieces, summed, against that of the mended model at worn size. */
  readonly volumeOff: number;
  readonly pieces: number;
}

/** The pieces of a kit alone: closed, on their beds, nothing lost of the model as it was mended. */
export function checkPieces(dir: string): PiecesCheck {
  const plan = JSON.parse(readFileSync(join(dir, 'plan.json'), 'utf8')) as Plan;
  const build = JSON.parse(readFileSync(join(dir, 'build.json'), 'utf8')) as {
    machines: { id: string; bedMm: number[] }[];
    pieces: { marginMm: number };
  };
  const pieces = plan.pieces.map((piece) => ({ piece, corners: plainStl(join(dir, piece.file)) }));
  return {
    badEdges: pieces.reduce((sum, { corners }) => sum + plainBadEdges(corners), 0),
    overMm: Math.max(
      ...pieces.map(({ piece, corners }) =>
        standsOut(corners, build.machines.find(({ id }) => id === piece.bed)!.bedMm, build.pieces.marginMm),
      ),
    ),
    volumeOff: Math.abs(pieces.reduce((sum, { corners }) => sum + plainVolume(corners), 0) / plan.model.volumeMm3 - 1),
    pieces: pieces.length,
  };
}

/** The smallest corner is at the origin; width and depth may be exchanged. */
function standsOut(corners: Float64Array, bed: readonly number[], marginMm: number): number {
  const { low, high } = plainBox(corners);
  const [w, d, h] = high.map((value, axis) => value - low[axis]!) as [number, number, number];
  const room = (side: number): number => bed[side]! - (side === 2 ? marginMm : 2 * marginMm);
  const flat = Math.min(Math.max(w - room(0), d - room(1)), Math.max(w - room(1), d - room(0)));
  const away = Math.max(...low.map(Math.abs));
  return Math.max(flat, h - room(2), away - 1e-4);
}

interface Shapes {
  readonly input: Float64Array;
  readonly inModel: ReadonlyMap<string, Float64Array>;
}

/** The section of the input by the seam's plane, cut by the half spaces of the two pieces' other seams; of the regions left,
 *  those that hold a facet of the written mating face. */
function checkSeam(
  module: ManifoldToplevel,
  plan: Plan,
  seam: Plan['seams'][number],
  shapes: Shapes,
): { id: string; offSection: number; offWritten: number } {
  const { normal, offsetMm } = seam.plane;
  const frame = frameOf(normal);
  const facets = flatFacets(shapes.inModel.get(seam.pieces[0])!, seam, frame);
  const mine = facets.filter((facet) => facesOther(facet.middle, plan, seam, shapes));
  let region = sectionOf(module, shapes.input, seam.plane, frame);
  for (const other of plan.seams) {
    if (other === seam) continue;
    const shared = other.pieces.find((id) => seam.pieces.includes(id));
    if (shared === undefined || isSamePlane(other.plane, seam.plane)) continue;
    const keep = other.pieces[0] === shared ? -1 : 1;
    region = cutByPlane(module, region, { frame, normal, offsetMm }, { ...other.plane, keep });
  }
  let area = 0;
  for (const part of region.decompose()) {
    if (mine.some((facet) => isInside(part.toPolygons(), facet.middle2d))) area += part.area();
    part.delete();
  }
  region.delete();
  // Two pieces may meet in several faces of one plane; they are compared together.
  const inPlane = plan.seams.filter((other) => isSamePlane(other.plane, seam.plane));
  const said = sumOf(inPlane.filter((other) => other.pieces.join() === seam.pieces.join()));
  // A facet of the written piece may lie over two neighbours, so its whole face is compared with all seams it takes part in.
  const faceSaid = sumOf(inPlane.filter((other) => other.pieces.includes(seam.pieces[0])));
  const written = facets.reduce((sum, facet) => sum + facet.area, 0);
  return { id: seam.id, offSection: Math.abs(said / area - 1), offWritten: Math.abs(faceSaid / written - 1) };
}

function sumOf(seams: Plan['seams']): number {
  return seams.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
}

interface Frame {
  readonly u: Point;
  readonly v: Point;
}

function frameOf(n: Point): Frame {
  const away: Point = Math.abs(n[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  const u = unit(cross(away, n));
  return { u, v: cross(n, u) };
}

function flatFacets(
  corners: Float64Array,
  seam: Plan['seams'][number],
  frame: Frame,
): { area: number; middle: Point; middle2d: readonly [number, number] }[] {
  const { normal, offsetMm } = seam.plane;
  const out: { area: number; middle: Point; middle2d: readonly [number, number] }[] = [];
  for (let t = 0; t < corners.length; t += 9) {
    const [a, b, c] = [0, 3, 6].map((k): Point => [corners[t + k]!, corners[t + k + 1]!, corners[t + k + 2]!]) as [
      Point,
      Point,
      Point,
    ];
    if ([a, b, c].some((p) => Math.abs(dot(p, normal) - offsetMm) > 2e-4)) continue;
    const twice = cross(less(b, a), less(c, a));
    if (Math.abs(dot(twice, normal)) < 0.99 * Math.hypot(...twice)) continue;
    const middle: Point = [(a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3, (a[2] + b[2] + c[2]) / 3];
    out.push({ area: Math.hypot(...twice) / 2, middle, middle2d: [dot(middle, frame.u), dot(middle, frame.v)] });
  }
  return out;
}

/** A piece may meet several neighbours in one plane: the facet is this seam's when the other piece has a facet over it. */
function facesOther(middle: Point, plan: Plan, seam: Plan['seams'][number], shapes: Shapes): boolean {
  const rivals = plan.seams.filter(
    (other) =>
      other !== seam && isSamePlane(other.plane, seam.plane) && other.pieces.some((id) => seam.pieces.includes(id)),
  );
  if (rivals.length === 0) return true;
  const corners = shapes.inModel.get(seam.pieces[1])!;
  const frame = frameOf(seam.plane.normal);
  const at = [dot(middle, frame.u), dot(middle, frame.v)] as const;
  for (let t = 0; t < corners.length; t += 9) {
    const points = [0, 3, 6].map((k): Point => [corners[t + k]!, corners[t + k + 1]!, corners[t + k + 2]!]);
    if (points.some((p) => Math.abs(dot(p, seam.plane.normal) - seam.plane.offsetMm) > 2e-4)) continue;
    if (isInside([points.map((p) => [dot(p, frame.u), dot(p, frame.v)] as const)], at)) return true;
  }
  return false;
}

/** Section by cutting every triangle on its own and filling by the non-zero rule: no shared vertices, no topology. */
function sectionOf(
  module: ManifoldToplevel,
  corners: Float64Array,
  plane: Plan['seams'][number]['plane'],
  frame: Frame,
): CrossSection {
  const ends = new Map<string, [number, number][]>();
  const segments: [[number, number], [number, number]][] = [];
  for (let t = 0; t < corners.length; t += 9) {
    const points = [0, 3, 6].map((k): Point => [corners[t + k]!, corners[t + k + 1]!, corners[t + k + 2]!]);
    const heights = points.map((p) => dot(p, plane.normal) - plane.offsetMm);
    const crossings: [number, number][] = [];
    let enters = -1;
    for (let k = 0; k < 3; k++) {
      const [h0, h1] = [heights[k]!, heights[(k + 1) % 3]!];
      if (h0 < 0 === h1 < 0) continue;
      // Always from the lower end, so that both neighbours compute the same bits.
      const [low, high, hl, hh] =
        h0 < h1 ? [points[k]!, points[(k + 1) % 3]!, h0, h1] : [points[(k + 1) % 3]!, points[k]!, h1, h0];
      const share = -hl / (hh - hl);
      const p = low.map((value, axis) => value + share * (high[axis]! - value)) as unknown as Point;
      if (h0 < 0) enters = crossings.length;
      crossings.push([dot(p, frame.u), dot(p, frame.v)]);
    }
    if (crossings.length !== 2) continue;
    const [from, to] = enters === 0 ? [crossings[1]!, crossings[0]!] : [crossings[0]!, crossings[1]!];
    segments.push([from, to]);
  }
  for (const [from, to] of segments) ends.set(from.join(), [...(ends.get(from.join()) ?? []), to]);
  const loops: [number, number][][] = [];
  for (const [first] of segments) {
    let at = first;
    const loop: [number, number][] = [];
    for (let next = ends.get(at.join()); next !== undefined && next.length > 0; next = ends.get(at.join())) {
      loop.push(at);
      at = next.pop()!;
    }
    if (loop.length > 2) loops.push(loop);
  }
  return new module.CrossSection(loops, 'NonZero');
}

function cutByPlane(
  module: ManifoldToplevel,
  region: CrossSection,
  own: { frame: Frame; normal: Point; offsetMm: number },
  other: { normal: Point; offsetMm: number; keep: number },
): CrossSection {
  const a = dot(other.normal, own.frame.u);
  const b = dot(other.normal, own.frame.v);
  const c = other.offsetMm - own.offsetMm * dot(other.normal, own.normal);
  const length = Math.hypot(a, b);
  if (length < 1e-9) return region;
  // Half plane keep * (a x + b y - c) >= 0 as a square of 20 m on its side of the line.
  const [nx, ny] = [(other.keep * a) / length, (other.keep * b) / length];
  const at = [(a * c) / (length * length), (b * c) / (length * length)] as const;
  const far = 20_000;
  const corner = (along: number, out: number): [number, number] => [
    at[0] - ny * along + nx * out,
    at[1] + nx * along + ny * out,
  ];
  const half = new module.CrossSection(
    [[corner(far, 0), corner(far, far), corner(-far, far), corner(-far, 0)]],
    'NonZero',
  );
  const kept = region.intersect(half);
  half.delete();
  region.delete();
  return kept;
}

function isInside(
  loops: readonly (readonly (readonly [number, number])[])[],
  [x, y]: readonly [number, number],
): boolean {
  let inside = false;
  for (const loop of loops) {
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const [xi, yi] = loop[i]!;
      const [xj, yj] = loop[j]!;
      if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside;
    }
  }
  return inside;
}

function isSamePlane(a: Plan['seams'][number]['plane'], b: Plan['seams'][number]['plane']): boolean {
  return (
    Math.abs(Math.abs(dot(a.normal, b.normal)) - 1) < 1e-9 &&
    Math.abs(Math.abs(a.offsetMm) - Math.abs(b.offsetMm)) < 1e-6
  );
}

/** Largest relative difference of volumes between the STL files and the objects of kit.3mf; Infinity when counts differ. */
function compareThreemf(dir: string, plan: Plan, pieces: ReadonlyMap<string, Float64Array>): number {
  const xml = new TextDecoder().decode(unzipSync(readFileSync(join(dir, 'kit.3mf')))['3D/3dmodel.model']);
  const objects = xml.split('<object ').slice(1);
  if (objects.length !== plan.pieces.length) return Number.POSITIVE_INFINITY;
  let worst = 0;
  for (const [index, object] of objects.entries()) {
    const verts = [...object.matchAll(/<vertex x="([^"]+)" y="([^"]+)" z="([^"]+)"/g)].map(
      (m) => [Math.fround(Number(m[1])), Math.fround(Number(m[2])), Math.fround(Number(m[3]))] as const,
    );
    const tris = [...object.matchAll(/<triangle v1="(\d+)" v2="(\d+)" v3="(\d+)"/g)];
    const corners = Float64Array.from(tris.flatMap((m) => [m[1], m[2], m[3]].flatMap((v) => verts[Number(v)]!)));
    const stl = pieces.get(plan.pieces[index]!.id)!;
    if (corners.length !== stl.length) return Number.POSITIVE_INFINITY;
    worst = Math.max(worst, Math.abs(plainVolume(corners) / plainVolume(stl) - 1));
  }
  return worst;
}

const dot = (a: Point, b: Point): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const less = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const cross = (a: Point, b: Point): Point => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const unit = (a: Point): Point => {
  const length = Math.hypot(...a);
  return [a[0] / length, a[1] / length, a[2] / length];
};
