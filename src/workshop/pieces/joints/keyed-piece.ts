// A piece with its keys: all that they add and cut, in one operation of the solid kernel.
import { done, type Finding, finding, type Outcome, refuse } from '../../../base/findings.ts';
import { selfCrossings } from '../../../geometry/crossings/self-crossings.ts';
import type { MeshPart } from '../../../geometry/plane-split.ts';
import { type Combined, callKernel, type SolidKernel } from '../../../geometry/solid/solid.ts';
import { splitComponents } from '../../../geometry/split-components.ts';
import { SLIVER_DEFAULTS, tidySlivers } from '../../../geometry/tidy-slivers.ts';
import { bounds, middleOf, volume } from '../../../mesh/measure.ts';
import { type Mesh, numTris, numVerts } from '../../../mesh/mesh.ts';
import { KEY_SOURCE } from '../../process/joints-record.ts';
import type { PieceChange } from './key-solids.ts';

/** Where a triangle of a keyed piece comes from: the piece as it was cut, what keys added, what was cut for them, or what was taken off an
 *  outer edge on purpose. */
export const FROM_PIECE = 0;
export const FROM_ADDED = 1;
export const FROM_CUT = 2;
export const FROM_TRIM = 3;

export interface KeyedPiece extends MeshPart {
  readonly mesh: Mesh;
  /** numTris: as in the piece; KEY_SOURCE for every triangle that is not of it. */
  readonly sourceTri: Int32Array;
  /** numTris: FROM_PIECE, FROM_ADDED, FROM_CUT or FROM_TRIM. */
  readonly from: Uint8Array;
  /** Keyed less plain, mm3. */
  readonly gainedMm3: number;
}

export interface KeyingOptions {
  /** By which the maker knows it, for what is said. */
  readonly name: string;
  readonly changes: readonly PieceChange[];
  /** Taken off along outer edges, see `edgeRelief`. */
  readonly trims?: readonly Mesh[];
}

export const KEYING_LIMITS = {
  /** A loose part no larger than this is a crumb and is left out; a larger one is a key gone wrong. A layer of one filament line. */
  crumbMm3: 1,
  /** As in SLIVER_DEFAULTS, for what lies slanting where keys meet their wall: rounded in its pose, a sliver of 1.5 um went through its neighbour. Still a
   *  fiftieth of what prints. */
  slivers: { shortMm: 4e-3, lowMm: 1e-3 },
} as const;

/** The piece and all its additions, less all cuts and trims. Vertices that no key touches keep their very coordinates, so that two pieces
 *  still meet exactly. Closed, one solid for one solid; loose crumbs are left out and said. Space: model, worn.
 *  Cost: about 2 s per 100 000 triangles. Refuses: SOLID_TOO_LARGE, SOLID_FAILED, JOINTS_PARTED.
 *  Method: docs/methods/keyed-pieces.md. */
export function keyedPiece(
  piece: MeshPart,
  solid: SolidKernel,
  { name, changes, trims = [] }: KeyingOptions,
): Outcome<KeyedPiece> {
  const add = changes.flatMap((change) => change.add);
  const cut = changes.flatMap((change) => change.cut);
  if (add.length + cut.length + trims.length === 0) return done(unchanged(piece));
  const asked = [piece.mesh, ...add, ...cut, ...trims].reduce((sum, mesh) => sum + numTris(mesh), 0);
  const combined = callKernel(asked, () => solid.combine(piece.mesh, add, [...cut, ...trims]));
  if (!combined.ok) return combined;
  const kindOf = [0, ...add.map(() => FROM_ADDED), ...cut.map(() => FROM_CUT), ...trims.map(() => FROM_TRIM)];
  const whole = oneSolid(tidied(combined.value, piece.mesh), name);
  if (!whole.ok) return whole;
  const { mesh, sourceTri: kept } = whole.value;
  const from = Uint8Array.from(kept, (tri) => kindOf[combined.value.from[tri]!]!);
  return done(
    {
      mesh,
      sourceTri: Int32Array.from(kept, (tri, i) =>
        from[i] === FROM_PIECE ? piece.sourceTri[combined.value.fromTri[tri]!]! : KEY_SOURCE,
      ),
      from,
      gainedMm3: volume(mesh) - volume(piece.mesh),
    },
    whole.findings,
  );
}

function unchanged({ mesh, sourceTri }: MeshPart): KeyedPiece {
  return { mesh, sourceTri, from: new Uint8Array(numTris(mesh)), gainedMm3: 0 };
}

/** Without what is too small for a file; sourceTri are the triangles of what was combined. Corners of the piece stay where they are. */
function tidied({ mesh, from, fromTri }: Combined, piece: Mesh): MeshPart {
  const [p, q] = [mesh.positions, piece.positions];
  const isLoose = new Uint8Array(numVerts(mesh)).fill(1);
  for (let i = 0; i < mesh.triangles.length; i++) {
    const tri = Math.trunc(i / 3);
    if (from[tri] !== 0) continue;
    const v = mesh.triangles[i]! * 3;
    for (let c = 0; c < 3; c++) {
      const w = piece.triangles[fromTri[tri]! * 3 + c]! * 3;
      if (p[v] === q[w] && p[v + 1] === q[w + 1] && p[v + 2] === q[w + 2]) isLoose[v / 3] = 0;
    }
  }
  // About a spike that cannot be drawn together a vertex may go through the far side; then less is drawn together, or all stays as it was cut.
  const tries = [KEYING_LIMITS.slivers, SLIVER_DEFAULTS].map((limits) => () => tidySlivers(mesh, isLoose, limits));
  let fewest: { readonly part: MeshPart; readonly pairs: number } | null = null;
  for (const tidy of tries) {
    const part = tidy();
    const { pairs } = selfCrossings(part.mesh);
    if (pairs === 0) return part;
    if (fewest === null || pairs < fewest.pairs) fewest = { part, pairs };
  }
  return fewest !== null && fewest.pairs <= selfCrossings(mesh).pairs
    ? fewest.part
    : { mesh, sourceTri: Int32Array.from({ length: numTris(mesh) }, (_, tri) => tri) };
}

/** The largest part. */
function oneSolid(combined: MeshPart, name: string): Outcome<MeshPart> {
  const parts = splitComponents(combined)
    .map((part) => ({ part, mm3: volume(part.mesh) }))
    .sort((a, b) => b.mm3 - a.mm3);
  const largest = parts[0];
  if (largest === undefined) return refuse('JOINTS_PARTED', `Nothing is left of piece ${name} once its keys are cut.`);
  const findings: Finding[] = [];
  for (const { part, mm3 } of parts.slice(1)) {
    const atMm = middleOf(bounds(part.mesh));
    const where = { path: 'pieces', space: 'worn', atMm, piece: name } as const;
    if (mm3 > KEYING_LIMITS.crumbMm3)
      return refuse(
        'JOINTS_PARTED',
        `Piece ${name} with its keys comes in two: ${mm3.toFixed(1)} mm3 at ${atMm.map((c) => c.toFixed(0)).join(', ')} hang on nothing.`,
        { where },
      );
    findings.push(
      finding('JOINTS_CRUMBS', `A crumb of ${mm3.toFixed(3)} mm3 was left out of piece ${name}.`, {
        where,
        measured: mm3,
        limit: KEYING_LIMITS.crumbMm3,
        unit: 'mm3',
      }),
    );
  }
  return done(largest.part, findings);
}
