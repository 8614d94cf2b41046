// The chapter Joints: keys for every seam, pieces that carry them, and the order in which all is joined.
import { done, type Outcome } from '../../../base/findings.ts';
import { partOfWork } from '../../../base/work.ts';
import { volume } from '../../../mesh/measure.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import { joinOrder } from '../../process/join-order.ts';
import type { Joint, JointKind, JointsRecord, LoosePart } from '../../process/joints-record.ts';
import type { Piece, PiecesRecord, Seam } from '../../process/pieces-record.ts';
import type { WearerRecord } from '../../process/wearer-record.ts';
import { askedKinds } from './asked-joints.ts';
import { type BuiltJoint, buildJoint } from './build-joint.ts';
import { jointFindings, whyUnmet } from './joint-findings.ts';
import { jointPlay } from './joint-play.ts';
import type { JointsSettings } from './joints-settings.ts';
import { type KeyGround, keyGround } from './key-ground.ts';
import { keySides } from './key-sides.ts';
import { type KeyedRecord, keyedRecord } from './keyed-record.ts';
import { sectionsOf } from './read-sections.ts';
import { screwLengthMm } from './screw-solids.ts';
import { skinOutside } from './skin-outside.ts';

/** Keys every seam, as its wall allows, in a pose in which no key is in the way. Space: model, at worn size.
 *  Cost: about a second for each 100,000 triangles of the pieces. Findings: JOINT_NONE, JOINT_LOOSE, JOINT_UNMET, JOINT_ASTRAY, and what the marks
 *  say. Refuses what the solid kernel refuses, and JOINTS_PARTED. Method: docs/methods/joints-thin-walls.md and keyed-pieces.md. */
export function computeJoints(
  inputs: { readonly wearer: WearerRecord; readonly pieces: PiecesRecord },
  settings: JointsSettings,
  work: ChapterWork,
): Outcome<JointsRecord> {
  const { pieces, seams, seen } = inputs.pieces;
  const order = joinOrder(pieces, seams);
  const base = { kind: 'joints', version: 1, order } as const;
  if (!settings.keys || seams.length === 0) return done({ ...base, pieces, joints: seams.map(withoutKeys), loose: [] });
  const shell = work.meshes.get(inputs.wearer.mesh);
  const parts = pieces.map(({ id, mesh, sourceTri }) => ({ id, mesh: work.meshes.get(mesh), sourceTri }));
  work.tick(0, 'reading mating faces');
  const sections = sectionsOf(parts, seams, seen);
  const ground = keyGround(shell, parts, seen);
  const asked = askedKinds(settings.asked, seams, inputs.wearer.scale);
  const plan = (limits: Limits): Outcome<Keyed> => {
    const { sides } = keySides(pieces, seams, (seam, id) => limits.banned.has(`${seam} ${id}`));
    const taken = { sites: [], bodies: [] };
    const built = sections.map((section, s): BuiltJoint => {
      work.tick((0.3 * s) / sections.length, `keys for ${section.seam.id}`);
      const wish = {
        side: sides[s]!,
        clearanceMm: clearanceOf(section.seam, pieces, settings),
        asked: asked.kinds[s]!,
      };
      const muted = limits.muted.get(s);
      if (muted !== undefined) return { section, kind: 'none', wallMm: 0, keys: [], why: muted };
      return buildJoint(section, ground, wish, { settings, taken });
    });
    const record = keyedRecord({ ...inputs.pieces, parts, built, ground }, settings, partOfWork(work, 0.3, 0.95));
    return record.ok ? done({ built, record: record.value }, record.findings) : record;
  };
  const limits: Limits = { banned: new Set(), muted: new Map() };
  let keyed = plan(limits);
  // each round takes something from a piece that fits no bed, so it ends
  while (keyed.ok && narrowed(limits, keyed.value)) keyed = plan(limits);
  if (!keyed.ok) return keyed;
  const { built, record } = keyed.value;
  const joints = built.map((one, s) => jointOf(one, s, { record, ground, settings, asked: asked.kinds[s]! }));
  return done({ ...base, pieces: record.pieces, joints, loose: looseOf(built, settings.magnetMm, work) }, [
    ...asked.findings,
    ...keyed.findings,
    ...jointFindings(joints, seams, asked.kinds),
  ]);
}

/** What pieces turned out not to bear. */
interface Limits {
  /** "seam piece": the piece may carry nothing that protrudes from this seam. */
  readonly banned: Set<string>;
  /** Seams that stay without keys, with the reason. */
  readonly muted: Map<number, string>;
}

interface Keyed {
  readonly built: readonly BuiltJoint[];
  readonly record: KeyedRecord;
}

/** Pieces that fit no bed with their keys first give up what protrudes, then keys. Whether there was any such. */
function narrowed({ banned, muted }: Limits, { built, record }: Keyed): boolean {
  let isNew = false;
  for (const { id, poses } of record.pieces) {
    if (poses.length > 0) continue;
    const own = built.flatMap(({ section, keys }, s) =>
      section.seam.pieces.includes(id) && keys.length > 0 ? [{ s, keys }] : [],
    );
    const carried = own.filter(
      ({ s, keys }) => !banned.has(`${s} ${id}`) && keys.some(({ key }) => key.carrier === id),
    );
    isNew ||= own.length > 0;
    for (const { s } of carried) banned.add(`${s} ${id}`);
    if (carried.length > 0) continue;
    for (const { s } of own) muted.set(s, `With keys ${id} would fit no bed.`);
  }
  return isNew;
}

function clearanceOf({ pieces: pair }: Seam, pieces: readonly Piece[], { machines }: JointsSettings): number {
  const ids = pieces.flatMap(({ id, poses }) => (pair.includes(id) ? poses.map(({ machine }) => machine) : []));
  return Math.max(...machines.filter(({ id }) => ids.includes(id)).map(({ clearanceMm }) => clearanceMm));
}

function jointOf(
  { section, kind, wallMm, keys, why }: BuiltJoint,
  index: number,
  by: {
    readonly record: KeyedRecord;
    readonly ground: KeyGround;
    readonly settings: JointsSettings;
    readonly asked: JointKind | null;
  },
): Joint {
  const { record, ground, settings, asked } = by;
  const { id, pieces: pair } = section.seam;
  const near = nearKeys(keys);
  const skins = pair.flatMap((piece) => {
    const skin = keys.length === 0 ? null : skinOutside(record.keyed.get(piece)!, ground.outside, { near });
    return skin === null ? [] : [skin.skinMm];
  });
  return {
    seam: id,
    kind,
    stays: kind === 'magnets' || kind === 'screws' ? 'removable' : 'glued',
    wallMm,
    keys: keys.map(({ key }) => key),
    reliefMm: record.relieved[index]! ? settings.reliefMm : 0,
    skinMm: skins.length === 0 ? null : Math.min(...skins),
    play: jointPlay(keys, section, { toleranceMm: settings.toleranceMm }),
    why: whyUnmet(asked, kind, why),
  };
}

/** Whether a place belongs to one of the keys. */
function nearKeys(keys: BuiltJoint['keys']): (point: Vec3) => boolean {
  const balls = keys.map(({ key: { atMm, widthMm, reachMm, thickMm } }) => ({
    atMm,
    mm: Math.hypot(widthMm / 2, reachMm, thickMm) + 4,
  }));
  return (p) => balls.some(({ atMm, mm }) => Math.hypot(p[0] - atMm[0], p[1] - atMm[1], p[2] - atMm[2]) < mm);
}

/** What is glued in or put in: of a pair of magnets that of the carrier first, as it stands out of it. */
function looseOf(
  built: readonly BuiltJoint[],
  magnetMm: JointsSettings['magnetMm'],
  work: ChapterWork,
): readonly LoosePart[] {
  const heightMm = magnetMm[1];
  return built.flatMap(({ section: { seam }, keys }) =>
    keys
      .flatMap(({ key, loose }): Omit<LoosePart, 'id' | 'seam'>[] => {
        if (key.kind === 'screw') {
          const lengthMm = screwLengthMm({ diameterMm: key.widthMm });
          return [{ name: 'screw', mesh: null, lengthMm, volumeMm3: 0 }];
        }
        if (loose === null) return [];
        const part = { mesh: work.meshes.put(loose), volumeMm3: volume(loose) };
        if (key.kind === 'strip') return [{ ...part, name: 'splice', lengthMm: key.widthMm }];
        if (key.kind === 'rod') return [{ ...part, name: 'length of rod', lengthMm: 2 * key.reachMm }];
        const disc = { ...part, name: 'disc magnet', lengthMm: heightMm };
        return [disc, { ...disc, mesh: null }];
      })
      .map((part, i) => ({ ...part, id: `${seam.id}/${i + 1}`, seam: seam.id })),
  );
}

function withoutKeys(seam: Seam): Joint {
  return {
    seam: seam.id,
    kind: 'none',
    stays: 'glued',
    wallMm: 0,
    keys: [],
    reliefMm: 0,
    skinMm: null,
    play: null,
    why: null,
  };
}
