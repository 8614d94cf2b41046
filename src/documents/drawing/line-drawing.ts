// A drawing in lines of what meshes look like from one side, as for a workshop manual: path data in paper mm.
import { QUIET_WORK, type Work } from '../../base/work.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { creaseChains } from './crease-chains.ts';
import { type DepthRaster, depthRaster } from './depth-raster.ts';
import { type NamedRun, type PlacedName, placedNames } from './line-names.ts';
import { partLetters } from './part-letters.ts';
import { lineExtent, pathData, simplifyLine, smoothLine } from './polyline.ts';
import { FOLD, JOINT, OUTLINE, type RasterEdges, type RasterLine, rasterEdges, traceEdges } from './raster-edges.ts';
import { type SeamPen, stitchesOf } from './seam-pens.ts';
import { shadeLines } from './shade-lines.ts';
import { onPaper, type ViewFrame, viewFrame } from './view-frame.ts';
import { visibleRuns } from './visible-runs.ts';

export interface DrawingPart {
  readonly id: string;
  readonly mesh: Mesh;
  /** Closed loops (xyz ...) to be drawn as seams where they are seen, in the space of the mesh. */
  readonly seams?: readonly Float32Array[];
  /** Lines (xyz ...) drawn as seams with a given pen, over whatever else runs there. */
  readonly weighted?: readonly WeightedLine[];
  /** Lines (xyz ...) along edges where the surface ends, drawn where they are seen, whatever else runs there. */
  readonly rims?: readonly Float32Array[];
  /** Lines (xyz ...) of hatching on the surface, drawn where they are seen. */
  readonly hatched?: readonly Float32Array[];
  /** Lines (xyz ...) along which layers of a print start, drawn in dashes where they are seen. */
  readonly tracks?: readonly Float32Array[];
  /** Ways (xyz ...) along which it goes to its place, drawn broken where they are seen, each with the number of its join once. */
  readonly ways?: readonly { readonly points: Float32Array; readonly name: string }[];
  /** Set in the widest place of what is seen of it. */
  readonly letter?: string;
}

export interface WeightedLine {
  readonly points: Float32Array;
  readonly pen: SeamPen;
  /** Set beside the line where it is seen; lines of one name have it once. */
  readonly name?: string;
}

/** outline: against nothing or another part. silhouette: a fold that hides something of its own part. crease: a sharp edge.
 *  seam: where two parts meet, and the loops given; seam-fine to seam-unseen: the lines given a pen. shade: light lines on what turns away from the light. rim: the rims given. hatch: the hatching given. track: the tracks given. way: the ways given. */
export type LineKind =
  | 'outline'
  | 'silhouette'
  | 'crease'
  | 'seam'
  | `seam-${SeamPen}`
  | 'shade'
  | 'rim'
  | 'hatch'
  | 'track'
  | 'way';

export interface DrawingPath {
  readonly partId: string;
  readonly kind: LineKind;
  readonly hidden: boolean;
  /** SVG path data, paper mm. */
  readonly d: string;
}

export interface LineDrawing {
  readonly paths: readonly DrawingPath[];
  readonly widthMm: number;
  readonly heightMm: number;
  readonly viewBox: string;
  /** Paper mm per model mm. */
  readonly scale: number;
  /** Names of lines, where they are seen. */
  readonly names: readonly PlacedName[];
}

export interface LineDrawingOptions {
  readonly viewDir: Vec3;
  readonly up: Vec3;
  readonly widthMm: number;
  readonly maxHeightMm: number;
  readonly marginMm: number;
  /** Paper mm per model mm, when drawings share a scale; null: as large as fits. */
  readonly scale: number | null;
  readonly creaseDeg: number;
  readonly simplifyMm: number;
  /** A step in depth larger than this is drawn, paper mm. */
  readonly stepMm: number;
  readonly hiddenLines: 'leave-out' | 'keep';
  readonly shade: 'none' | 'lines';
  readonly shadeSpacingMm: number;
  /** Lines are thinned out further until the path data is no longer than this. */
  readonly maxBytes: number;
  readonly pixelsPerMm: number;
}

export const LINE_DRAWING_DEFAULTS: LineDrawingOptions = {
  viewDir: [-0.55, 0.75, -0.36],
  up: [0, 0, 1],
  widthMm: 150,
  maxHeightMm: 180,
  marginMm: 1,
  scale: null,
  creaseDeg: 40,
  simplifyMm: 0.06,
  stepMm: 0.5,
  hiddenLines: 'leave-out',
  shade: 'none',
  shadeSpacingMm: 1.3,
  maxBytes: 140_000,
  pixelsPerMm: 12,
};

/** Outlines, folds and joints are traced on a fine depth raster, so noisy meshes give clean, unbroken lines; creases and seams
 *  are taken from the mesh and tested against the raster. Space of the meshes: any one, mm. The same input gives the same text.
 *  Cost: about 0.7 s for 150 x 180 mm of paper and 200 000 triangles, little more for a million; memory 14 bytes a pixel.
 *  Method: docs/methods/line-drawing.md.  Weak: parallel projection only; detail under a pixel (0.07 mm on paper) is lost. */
export function lineDrawing(
  parts: readonly DrawingPart[],
  options: Partial<LineDrawingOptions> = LINE_DRAWING_DEFAULTS,
  work: Work = QUIET_WORK,
): LineDrawing {
  const all = { ...LINE_DRAWING_DEFAULTS, ...options };
  const frame = viewFrame(
    parts.map((part) => part.mesh.positions),
    all,
  );
  const papers = parts.map((part) => ({ points: onPaper(frame, part.mesh.positions), triangles: part.mesh.triangles }));
  work.tick(0.1, 'drawing');
  const raster = depthRaster(papers, { ...frame, pixelsPerMm: cappedResolution(frame, all.pixelsPerMm) });
  work.tick(0.4, 'drawing');
  const edges = rasterEdges(raster, all.stepMm);
  const lines = all.shade === 'lines' ? shadeOf(raster, edges, { frame, all }) : [];
  work.tick(0.6, 'drawing');
  const taken = besideEdges(raster, edges);
  const traced = traceEdges(raster, edges).map((line) => tracedLine(raster, line));
  work.tick(0.7, 'drawing');
  const named: NamedRun[] = [];
  parts.forEach((part, p) => {
    lines.push(...creaseLines(raster, { part, p, points: papers[p]!.points, taken, all }));
    lines.push(...seamLines(raster, { part, p, frame, taken, all }));
    lines.push(...linesOver(raster, { part, p, frame, taken, all, named }));
    work.tick(0.7 + (0.3 * (p + 1)) / parts.length, 'drawing');
  });
  return {
    paths: spelled([...traced, ...lines], parts, all),
    widthMm: frame.widthMm,
    heightMm: frame.heightMm,
    viewBox: `0 0 ${rounded(frame.widthMm)} ${rounded(frame.heightMm)}`,
    scale: frame.scale,
    names: placedNames(
      named,
      partLetters(
        raster,
        parts.map(({ letter = null }) => letter),
      ),
    ),
  };
}

interface Line {
  readonly part: number;
  readonly kind: LineKind;
  readonly hidden: boolean;
  readonly points: Float32Array;
  readonly closed: boolean;
}

const MOST_PIXELS_ACROSS = 3000;
/** Lines that reach no farther than this are specks. */
const SHORTEST_MM: Readonly<Record<LineKind, number>> = {
  outline: 0.8,
  silhouette: 3,
  crease: 3,
  seam: 0.8,
  'seam-fine': 0.5,
  'seam-middle': 0.5,
  'seam-heavy': 0.5,
  'seam-crease': 0.5,
  'seam-unseen': 0.5,
  shade: 2.5,
  rim: 0.3,
  hatch: 0.3,
  track: 0.5,
  way: 0.5,
};
const KIND_OF_EDGE = { [OUTLINE]: 'outline', [FOLD]: 'silhouette', [JOINT]: 'seam' } as const;

function cappedResolution(frame: ViewFrame, pixelsPerMm: number): number {
  return Math.min(pixelsPerMm, MOST_PIXELS_ACROSS / Math.max(frame.widthMm, frame.heightMm));
}

function tracedLine(raster: DepthRaster, line: RasterLine): Line {
  const smooth = smoothLine(line.points, { closed: line.closed, passes: 6 });
  const points = smooth.map((v) => v * raster.pixelMm);
  return { part: line.part, kind: KIND_OF_EDGE[line.kind], hidden: false, points, closed: line.closed };
}

/** Pixels within 0.25 mm of an outline or fold, where thin lines are left out. */
function besideEdges(raster: DepthRaster, edges: RasterEdges): Uint8Array {
  const { width, height } = raster;
  const taken = new Uint8Array(width * height);
  const { down, across } = edges;
  const reach = Math.max(1, Math.round(0.25 / raster.pixelMm));
  const mark = (x: number, y: number): void => {
    const from = Math.max(0, x - reach);
    const to = Math.min(width, x + reach);
    for (let j = Math.max(0, y - reach); j < Math.min(height, y + reach); j++)
      for (let at = j * width + from; at < j * width + to; at++) taken[at] = 1;
  };
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const kind = down[y * (width + 1) + x]! & 3;
      const other = across[y * width + x]! & 3;
      if (kind === OUTLINE || kind === FOLD || other === OUTLINE || other === FOLD) mark(x, y);
    }
  return taken;
}

interface PartLines {
  readonly part: DrawingPart;
  readonly p: number;
  readonly taken: Uint8Array;
  readonly all: LineDrawingOptions;
}

function creaseLines(raster: DepthRaster, from: PartLines & { points: Float32Array }): Line[] {
  const chains = creaseChains(from.part.mesh, from.all.creaseDeg);
  return chains.flatMap((chain) => {
    const line = new Float32Array(chain.length * 3);
    for (let i = 0; i < chain.length; i++) line.set(from.points.subarray(chain[i]! * 3, chain[i]! * 3 + 3), i * 3);
    return runsOf(raster, line, { ...from, kind: 'crease' });
  });
}

function seamLines(raster: DepthRaster, from: PartLines & { frame: ViewFrame }): Line[] {
  return (from.part.seams ?? []).flatMap((loop) => {
    const closed = new Float32Array(loop.length + 3);
    closed.set(loop);
    closed.set(loop.subarray(0, 3), loop.length);
    return runsOf(raster, onPaper(from.frame, closed), { ...from, kind: 'seam' });
  });
}

/** Rims, hatching, weighted seams, tracks and ways, which are drawn whatever else runs there. */
function linesOver(raster: DepthRaster, from: PartLines & { frame: ViewFrame; named: NamedRun[] }): Line[] {
  const { rims = [], hatched = [], weighted = [], tracks = [], ways = [] } = from.part;
  if (rims.length + hatched.length + weighted.length + tracks.length + ways.length === 0) return [];
  const taken = new Uint8Array(from.taken.length);
  const runs = (points: Float32Array, kind: LineKind): Line[] =>
    runsOf(raster, onPaper(from.frame, points), { ...from, taken, kind });
  return [
    ...rims.flatMap((points) => runs(points, 'rim')),
    ...hatched.flatMap((points) => runs(points, 'hatch')),
    ...weighted.flatMap(({ points, pen, name }) => {
      const seen = runs(points, `seam-${pen}`);
      if (name !== undefined)
        for (const run of seen) if (!run.hidden) from.named.push({ text: name, points: run.points });
      return pen === 'crease' ? [...seen, ...seen.flatMap(stitched)] : seen;
    }),
    ...tracks.flatMap((points) => runs(points, 'track')),
    ...ways.flatMap(({ points, name }) => {
      const seen = runs(points, 'way');
      for (const run of seen) if (!run.hidden) from.named.push({ text: name, points: run.points, look: 'step' });
      return seen;
    }),
  ];
}

/** Short strokes across a line, as lines of their own. */
function stitched(line: Line): Line[] {
  return stitchesOf(line.points).map((points) => ({ ...line, points }));
}

function runsOf(raster: DepthRaster, line: Float32Array, from: PartLines & { kind: LineKind }): Line[] {
  const options = { biasMm: from.all.stepMm / 2, taken: from.taken, shortestMm: 0.5 };
  const lines: Line[] = [];
  for (const run of visibleRuns(raster, line, options))
    if (!run.hidden || from.all.hiddenLines === 'keep')
      lines.push({ part: from.p, kind: from.kind, hidden: run.hidden, points: run.points, closed: false });
  return lines;
}

function shadeOf(raster: DepthRaster, edges: RasterEdges, from: { frame: ViewFrame; all: LineDrawingOptions }): Line[] {
  const { frame, all } = from;
  const dot = (v: Vec3): number => v[0] * all.up[0] + v[1] * all.up[1] + v[2] * all.up[2];
  const options = {
    height: [dot(frame.right), -dot(frame.up), dot(frame.into)] as const,
    spacingMm: all.shadeSpacingMm,
    dense: 0.78,
    sparse: 0.58,
  };
  return shadeLines(raster, edges, options).map((line) => ({
    part: line.part,
    kind: 'shade',
    hidden: false,
    points: smoothLine(line.points, { closed: false, passes: 4 }).map((v) => v * raster.pixelMm),
    closed: false,
  }));
}

/** One path for each part, kind and visibility; thinned out in steps until all fit. */
function spelled(lines: readonly Line[], parts: readonly DrawingPart[], all: LineDrawingOptions): DrawingPath[] {
  for (let attempt = 0; ; attempt++) {
    const coarser = 1.5 ** attempt;
    const paths = new Map<string, DrawingPath>();
    let bytes = 0;
    for (const line of lines) {
      if (lineExtent(line.points) < SHORTEST_MM[line.kind] * coarser) continue;
      const d = pathData(simplified(line, all.simplifyMm * coarser), line.closed);
      const key = `${line.part} ${line.kind} ${line.hidden}`;
      const known = paths.get(key);
      paths.set(key, {
        partId: parts[line.part]!.id,
        kind: line.kind,
        hidden: line.hidden,
        d: known === undefined ? d : known.d + d,
      });
      bytes += d.length;
    }
    if (bytes <= all.maxBytes || attempt >= 8) return [...paths.values()];
  }
}

/** A closed line is cut at the point farthest from its first, so that both halves are thinned out alike. */
function simplified(line: Line, tolerance: number): Float32Array {
  const { points, closed } = line;
  if (!closed) return simplifyLine(points, tolerance);
  const n = points.length / 2;
  const around = new Float32Array(points.length + 2);
  around.set(points);
  around.set(points.subarray(0, 2), points.length);
  const half = 2 * Math.floor(n / 2) + 2;
  const a = simplifyLine(around.subarray(0, half), tolerance);
  const b = simplifyLine(around.subarray(half - 2), tolerance);
  const out = new Float32Array(a.length + b.length - 4);
  out.set(a);
  out.set(b.subarray(2, b.length - 2), a.length);
  return out;
}

function rounded(mm: number): number {
  return Math.round(mm * 100) / 100;
}
