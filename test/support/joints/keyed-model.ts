// A model divided and keyed as the program does it, and what is measured of every keyed piece by means of its own.
import { BufferAttribute, BufferGeometry, Vector3 } from 'three';
import { type HitPointInfo, MeshBVH } from 'three-mesh-bvh';
import type { Finding } from '../../../src/base/findings.ts';
import { QUIET_WORK } from '../../../src/base/work.ts';
import { selfCrossings } from '../../../src/geometry/crossings/self-crossings.ts';
import type { MeshPart } from '../../../src/geometry/plane-split.ts';
import { roundToSingle } from '../../../src/geometry/round-to-single.ts';
import type { SolidKernel } from '../../../src/geometry/solid/solid.ts';
import { dot, minus } from '../../../src/geometry/three-by-three.ts';
import { volume } from '../../../src/mesh/measure.ts';
import type { Mesh, Vec3 } from '../../../src/mesh/mesh.ts';
import { computeJoints } from '../../../src/workshop/pieces/joints/joints.ts';
import { type JointsChoices, JointsSettings } from '../../../src/workshop/pieces/joints/joints-settings.ts';
import { type JointsRecord, KEY_SOURCE, type Key } from '../../../src/workshop/process/joints-record.ts';
import type { PiecesRecord } from '../../../src/workshop/process/pieces-record.ts';
import { soundPlace, writtenPiece } from '../../../src/workshop/process/written-piece.ts';
import { testKernel } from '../kernel.ts';
import { piecesOf, wornAs } from '../pieces/run-pieces.ts';
import type { SeamModel } from '../pieces/seam-models.ts';
import { keyVolumes } from './other-boolean.ts';

const kernel = await testKernel();
const MARGIN_MM = 5;

export interface KeyedModel {
  /** As it was cut. */
  readonly plain: PiecesRecord;
  readonly keyed: JointsRecord;
  readonly meshes: Map<string, Mesh>;
  readonly shell: Mesh;
  readonly bedMm: Vec3;
  readonly findings: readonly Finding[];
  /** By the plain mesh: what the kernel was given for it last. */
  readonly given: ReadonlyMap<Mesh, { readonly add: readonly Mesh[]; readonly cut: readonly Mesh[] }>;
}

/** Divided and keyed as proposed when nothing is asked for, on a machine with the default clearance. */
export function keyedModel({ mesh, symmetry }: Pick<SeamModel, 'mesh' | 'symmetry'>, bedMm: Vec3): KeyedModel {
  const about = { bedMm, mirrored: symmetry === null ? ('no' as const) : ('at x = 0' as const) };
  const { record: plain, meshes } = piecesOf(mesh, about);
  return keyedPieces({ plain, meshes }, bedMm);
}

/** asked: of the joints, besides the defaults. */
export function keyedPieces(
  of: { readonly plain: PiecesRecord; readonly meshes: Map<string, Mesh> },
  bedMm: Vec3,
  asked: Partial<JointsChoices> = {},
): KeyedModel {
  const { plain, meshes } = of;
  const given = new Map<Mesh, { add: readonly Mesh[]; cut: readonly Mesh[] }>();
  const solid: SolidKernel = {
    ...kernel,
    combine: (base, add, cut) => {
      given.set(base, { add, cut });
      return kernel.combine(base, add, cut);
    },
  };
  const put = (mesh: Mesh): string => {
    const id = `keyed-${meshes.size}`;
    meshes.set(id, mesh);
    return id;
  };
  const work = { ...QUIET_WORK, solid, meshes: { get: (id: string) => meshes.get(id)!, put } };
  const machines = [{ id: 'bed', bedMm, nozzleMm: 0.4, clearanceMm: 0.2 }];
  const settings = JointsSettings.parse({ machines, marginMm: MARGIN_MM, ...asked });
  const outcome = computeJoints({ wearer: wornAs('shell', null), pieces: plain }, settings, work);
  if (!outcome.ok) throw new Error(outcome.why);
  const { value: keyed, findings } = outcome;
  return { plain, keyed, meshes, shell: meshes.get('shell')!, bedMm, findings, given };
}

/** What a piece with its keys comes to, as it would be written. */
export interface KeyedMeasure {
  readonly piece: string;
  readonly poses: number;
  /** Of all poses together. */
  readonly badEdges: number;
  /** How far it leaves the bed at most in any pose; below 0 where it fits. */
  readonly overMm: number;
  /** Triangles of the shell and mating faces that cross in the first pose, in pairs, but not in the piece as it was cut, laid alike: what a key divided still
   *  crosses what it crossed before, however many triangles it has become. Every pair with a triangle that a key brought counts. */
  readonly newCrossings: number;
  readonly gainMm3: number;
}

export function keyedMeasures({ plain, keyed, meshes, bedMm }: KeyedModel): KeyedMeasure[] {
  return keyed.pieces.map((piece, i) => {
    const own = meshes.get(piece.mesh)!;
    const before = plain.pieces[i]!;
    const cut = meshes.get(before.mesh)!;
    const places = piece.poses.map(({ toLaid }) => soundPlace(own, toLaid));
    const written = places.map((toModel) => writtenPiece(own, toModel, piece.sourceTri));
    const known = crossingSources(writtenPiece(cut, places[0]!, before.sourceTri));
    return {
      piece: piece.id,
      poses: piece.poses.length,
      badEdges: written.reduce((sum, { numBadEdges }) => sum + numBadEdges, 0),
      overMm: Math.max(...written.map(({ mesh }) => overBed(mesh, bedMm))),
      newCrossings: crossingSources(written[0]!).filter((pair) => !known.includes(pair)).length,
      gainMm3: volume(own) - volume(cut),
    };
  });
}

/** "source source" of every pair that crosses, the same once; with a number for what a key brought. */
function crossingSources({ mesh, sourceTri }: MeshPart): string[] {
  const { pairs, pairList, listed } = selfCrossings(mesh);
  if (listed < pairs) throw new Error(`${pairs} pairs cross, of which only ${listed} are listed`);
  const out = new Set<string>();
  for (let i = 0; i < listed; i++) {
    const sources = [pairList[2 * i]!, pairList[2 * i + 1]!].map((tri) => sourceTri[tri]!).sort((a, b) => a - b);
    out.add(sources.includes(KEY_SOURCE) ? `${sources.join(' ')} ${i}` : sources.join(' '));
  }
  return [...out];
}

function overBed({ positions }: Mesh, [w, d, h]: Vec3): number {
  const room = [w - 2 * MARGIN_MM, d - 2 * MARGIN_MM, h - MARGIN_MM];
  let over = -Infinity;
  positions.forEach((at, i) => {
    over = Math.max(over, -at, at - room[i % 3]!);
  });
  return over;
}

/** To be asked of a model without relief: wedges of the relief touch each other without crossing, which the other boolean does not bear.
 *  Keyed less what the identity keyed = plain + |keyed - plain| - |plain - keyed| says, over the plain volume; both differences by a boolean
 *  that shares nothing with the solid kernel. */
export function volumesOff({ plain, keyed, meshes, given }: KeyedModel): { piece: string; off: number }[] {
  return plain.pieces.flatMap(({ id, mesh }, i) => {
    const own = meshes.get(mesh)!;
    const solids = given.get(own);
    if (solids === undefined) return [];
    const { moreMm3, lessMm3 } = keyVolumes(own, solids);
    const now = volume(meshes.get(keyed.pieces[i]!.mesh)!);
    return [{ piece: id, off: (now - (volume(own) + moreMm3 - lessMm3)) / volume(own) }];
  });
}

/** The least distance from anything cut into a piece for its keys, as it would be written, to the outside of the shell, by a library's tree;
 *  null where no key cuts. Of what comes from no piece, that beside a key that cuts counts. To be asked of a model without relief, which begins at the outside. */
export function leastSkin({ keyed, plain, meshes, shell }: KeyedModel): number | null {
  const cutting = keyed.joints.flatMap(({ keys }) => keys.filter(({ kind }) => kind !== 'tab'));
  if (cutting.length === 0) return null;
  const outer = shellOutside(shell, plain.seen);
  let least = Infinity;
  for (const piece of keyed.pieces) {
    const { mesh } = roundToSingle(meshes.get(piece.mesh)!, piece.sourceTri);
    for (let tri = 0; tri < piece.sourceTri.length; tri++) {
      if (piece.sourceTri[tri] !== KEY_SOURCE) continue;
      for (const at of samplesOf(mesh, tri)) {
        if (cutting.some((key) => isBeside(key, at))) least = Math.min(least, distanceTo(outer, at));
      }
    }
  }
  return least;
}

function isBeside({ atMm, along, into, widthMm, reachMm }: Key, at: Vec3): boolean {
  const from = minus(at, atMm);
  return Math.abs(dot(from, along)) < widthMm / 2 + 1 && Math.abs(dot(from, into)) < reachMm + 1;
}

function shellOutside({ positions, triangles }: Mesh, seen: Uint8Array): MeshBVH {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(positions), 3));
  geometry.setIndex(new BufferAttribute(Uint32Array.from(triangles.filter((_, i) => seen[Math.floor(i / 3)]! > 0)), 1));
  return new MeshBVH(geometry);
}

function samplesOf({ positions: p, triangles: t }: Mesh, tri: number): Vec3[] {
  const corner = (k: number): Vec3 => {
    const v = t[tri * 3 + k]! * 3;
    return [p[v]!, p[v + 1]!, p[v + 2]!];
  };
  const [a, b, c] = [corner(0), corner(1), corner(2)];
  const middle = [0, 1, 2].map((k) => (a[k]! + b[k]! + c[k]!) / 3) as unknown as Vec3;
  return [a, b, c, middle];
}

const found: HitPointInfo = { point: new Vector3(), distance: 0, faceIndex: 0 };

function distanceTo(tree: MeshBVH, [x, y, z]: Vec3): number {
  return tree.closestPointToPoint(new Vector3(x, y, z), found)!.distance;
}
