// The pieces with their keys, as the chapter hands them on: one solid each, measured, in poses in which no key is in the way.
import { done, type Finding, finding, type Outcome } from '../../../base/findings.ts';
import { partOfWork } from '../../../base/work.ts';
import { dot } from '../../../geometry/three-by-three.ts';
import { together } from '../../../mesh/builders.ts';
import type { Mesh, Vec3 } from '../../../mesh/mesh.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import type { Key } from '../../process/joints-record.ts';
import { downIn, MOST_DOWN, PROTRUDES, protrudingKeys, reachesDown } from '../../process/key-reach.ts';
import type { FittingPose, Piece, PiecesRecord, Seam } from '../../process/pieces-record.ts';
import { fittingPoses } from '../cut/fitting-pose.ts';
import { pieceMeasures } from '../cut/piece-measures.ts';
import type { BuiltJoint } from './build-joint.ts';
import { edgeRelief } from './edge-relief.ts';
import type { JointsSettings } from './joints-settings.ts';
import type { KeyGround } from './key-ground.ts';
import type { PieceChange } from './key-solids.ts';
import { type KeyedPiece, keyedPiece } from './keyed-piece.ts';
import { type PieceMark, pieceMark } from './piece-mark.ts';
import type { PlainPiece } from './read-sections.ts';

export interface KeyedRecord {
  readonly pieces: readonly Piece[];
  readonly keyed: ReadonlyMap<string, KeyedPiece>;
  /** Per seam: whether the outer edge of one of its faces was taken back. */
  readonly relieved: readonly boolean[];
}

export interface ToBeKeyed extends Pick<PiecesRecord, 'pieces' | 'seams' | 'seen'> {
  readonly parts: readonly PlainPiece[];
  readonly built: readonly BuiltJoint[];
  readonly ground: KeyGround;
}

/** Additions and cuts of all keys of a piece in one operation; a piece that no key touches stays as it was. A piece that fits no bed any more has no
 *  pose. Refuses what keyedPiece does. Cost: keyedPiece and fittingPoses, once a piece. */
export function keyedRecord(of: ToBeKeyed, settings: JointsSettings, work: ChapterWork): Outcome<KeyedRecord> {
  const relieved = of.seams.map(() => false);
  const keyed = new Map<string, KeyedPiece>();
  const pieces: Piece[] = [];
  const findings: Finding[] = [];
  for (const [index, piece] of of.pieces.entries()) {
    const part = partOfWork(work, index / of.pieces.length, (index + 1) / of.pieces.length);
    part.tick(0, `keys of ${piece.id}`);
    const own = of.built.filter(({ section }) => section.seam.pieces.includes(piece.id));
    const plain = of.parts[index]!;
    const asMesh = { mesh: plain.mesh, sourceTri: plain.sourceTri };
    const facesDown = facesThatPrintDown(piece, of, own);
    for (const seam of facesDown) relieved[seam] = settings.reliefMm > 0;
    const trims = facesDown.flatMap((seam) => edgeRelief(asMesh, seam, { seen: of.seen, reliefMm: settings.reliefMm }));
    const mark = settings.marks ? markOf(piece, of, own, settings) : null;
    const changes = [...changesOf(piece.id, own), ...(mark === null ? [] : [{ add: [], cut: mark.cut }])];
    const made = keyedPiece(asMesh, work.solid, { name: piece.id, changes, trims });
    if (!made.ok) return made;
    findings.push(...made.findings, ...markFindings(piece, mark));
    keyed.set(piece.id, made.value);
    pieces.push(recordOf(piece, made.value, { seams: of.seams, keys: keysOn(piece.id, own), settings, work: part }));
  }
  return done({ pieces, keyed, relieved }, findings);
}

/** On no key, nor beside one. */
function markOf(
  piece: Piece,
  { ground }: ToBeKeyed,
  own: readonly BuiltJoint[],
  { skinMm }: JointsSettings,
): PieceMark {
  const keepOff = own.flatMap(({ keys }) =>
    keys.map(({ key: { atMm, widthMm, reachMm } }) => ({
      atMm,
      radiusMm: Math.hypot(widthMm / 2 + BESIDE_MM, 2 * reachMm),
    })),
  );
  return pieceMark(ground.pieces.get(piece.id)!, ground, { letter: piece.id, skinMm, keepOff });
}

/** Width of a stop, with some room. */
const BESIDE_MM = 6;

function markFindings({ id, mark: { atMm } }: Piece, mark: PieceMark | null): Finding[] {
  if (mark === null || mark.why === null) return [];
  return [finding('JOINTS_MARK', mark.why, { where: { path: 'joints.marks', space: 'worn', atMm, piece: id } })];
}

function changesOf(id: string, built: readonly BuiltJoint[]): readonly PieceChange[] {
  return built.flatMap(({ keys }) =>
    keys.map(({ key, carrier, receiver }) => (key.carrier === id ? carrier : receiver)),
  );
}

/** Keys that protrude from a piece. */
function keysOn(id: string, built: readonly BuiltJoint[]): readonly Key[] {
  return protrudingKeys(
    id,
    built.map(({ keys }) => ({ keys: keys.map(({ key }) => key) })),
  );
}

/** Seams on whose face the piece may print, since nothing protrudes from it. */
function facesThatPrintDown(piece: Piece, { seams }: ToBeKeyed, built: readonly BuiltJoint[]): number[] {
  const protruding = new Set(
    built.flatMap(({ section, keys }) =>
      keys.some(({ key }) => key.carrier === piece.id && PROTRUDES[key.kind]) ? [section.seam.id] : [],
    ),
  );
  return seams.flatMap((seam, s) => {
    if (!seam.pieces.includes(piece.id) || protruding.has(seam.id)) return [];
    const out = outOf(seam, piece.id);
    return piece.poses.some(({ toLaid }) => dot(downIn(toLaid), out) > 0.9999) ? [s] : [];
  });
}

function outOf({ pieces, plane }: Seam, id: string): Vec3 {
  const [x, y, z] = plane.normal;
  return pieces[0] === id ? [x, y, z] : [-x, -y, -z];
}

function recordOf(
  piece: Piece,
  keyed: KeyedPiece,
  by: {
    readonly seams: readonly Seam[];
    readonly keys: readonly Key[];
    readonly settings: JointsSettings;
    readonly work: ChapterWork;
  },
): Piece {
  const { settings, keys, work } = by;
  if (keyed.mesh === work.meshes.get(piece.mesh)) return piece;
  const measures = pieceMeasures(keyed.mesh);
  return {
    ...piece,
    mesh: work.meshes.put(keyed.mesh),
    sourceTri: keyed.sourceTri,
    triangles: keyed.sourceTri.length,
    volumeMm3: measures.volumeMm3,
    areaMm2: measures.areaMm2,
    sizeMm: measures.sizeMm,
    poses: posesWithKeys(piece, keyed.mesh, { ...by, settings, keys }),
  };
}

/** Whether a piece would fit a bed if it carried what protrudes only from these of the seams it carries from now. Cost: fittingPoses. */
export function fitsCarrying(
  piece: Piece,
  carried: readonly number[],
  of: Pick<ToBeKeyed, 'seams' | 'parts' | 'built'>,
  by: { readonly settings: JointsSettings; readonly work: ChapterWork },
): boolean {
  const kept = of.built.filter(
    ({ section, keys }, s) =>
      section.seam.pieces.includes(piece.id) &&
      (carried.includes(s) || keys.every(({ key }) => key.carrier !== piece.id)),
  );
  const plain = of.parts.find(({ id }) => id === piece.id)!.mesh;
  const mesh = together([plain, ...changesOf(piece.id, kept).flatMap(({ add }) => add)]);
  return posesWithKeys(piece, mesh, { ...by, seams: of.seams, keys: keysOn(piece.id, kept) }).length > 0;
}

/** Poses in which none of the piece's keys reaches down. `mesh`: the piece with all that is added to it. */
function posesWithKeys(
  piece: Piece,
  mesh: Mesh,
  by: {
    readonly seams: readonly Seam[];
    readonly keys: readonly Key[];
    readonly settings: JointsSettings;
    readonly work: ChapterWork;
  },
): readonly FittingPose[] {
  const { seams, keys, settings, work } = by;
  const machines = new Set(piece.poses.map(({ machine }) => machine));
  const isClear = (down: Vec3) => keys.every(({ into }) => dot(down, into) < MOST_DOWN);
  const matingFaces = seams.flatMap((seam) => (seam.pieces.includes(piece.id) ? [outOf(seam, piece.id)] : []));
  const all = fittingPoses(mesh, work, {
    beds: settings.machines.filter(({ id }) => machines.has(id)),
    marginMm: settings.marginMm,
    matingFaces: matingFaces.filter(isClear),
    isAllowed: isClear,
  });
  return all.filter(({ toLaid }) => keys.every(({ into }) => !reachesDown(toLaid, into)));
}
