// The chapter Joints: keys for every seam, pieces that carry them, and the order in which all is joined.
import { done, type Outcome } from '../../../base/findings.ts';
import { partOfWork } from '../../../base/work.ts';
import { volume } from '../../../mesh/measure.ts';
import type { ChapterWork } from '../../process/chapter-work.ts';
import { joinOrder } from '../../process/join-order.ts';
import {
  type Joint,
  type JointKind,
  type JointPlay,
  type JointsRecord,
  LOOSE_MM,
  type LoosePart,
} from '../../process/joints-record.ts';
import type { PiecesRecord, Seam } from '../../process/pieces-record.ts';
import type { WearerRecord } from '../../process/wearer-record.ts';
import { askedKinds } from './asked-joints.ts';
import type { BuiltJoint } from './build-joint.ts';
import { closingSeams, playTogether } from './closing-seams.ts';
import { jointFindings, whyUnmet } from './joint-findings.ts';
import type { JointsSettings } from './joints-settings.ts';
import { keyGround } from './key-ground.ts';
import { keySupport } from './key-support.ts';
import { type KeyedPlan, keyedPlan } from './keyed-plan.ts';
import type { KeyedRecord } from './keyed-record.ts';
import { sectionsOf } from './read-sections.ts';
import { screwLengthMm } from './screw-solids.ts';

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
  const closing = closingSeams(seams, order);
  const keyed = keyedPlan({ ...inputs.pieces, parts, sections, ground, closing, asked: asked.kinds }, settings, work);
  if (!keyed.ok) return keyed;
  const { built, record, skins } = keyed.value;
  const plays = playTogether(built, closing, settings);
  const joints = built.map((one, s) =>
    jointOf(one, s, { record, skins, settings, play: plays[s]!, asked: asked.kinds[s]! }),
  );
  const loose = looseOf(built, settings.magnetMm, work);
  const holding = partOfWork(work, 0.95, 1);
  const keySupportMm3 = record.pieces.map(({ mesh, poses }, i) =>
    mesh === pieces[i]!.mesh || poses.length === 0
      ? 0
      : keySupport(parts[i]!.mesh, work.meshes.get(mesh), poses[0]!.toLaid, holding),
  );
  return done({ ...base, pieces: record.pieces, joints, loose, keySupportMm3 }, [
    ...asked.findings,
    ...keyed.findings,
    ...jointFindings(joints, seams, asked.kinds),
  ]);
}

function jointOf(
  { section, kind, wallMm, keys, misfitMm, why }: BuiltJoint,
  index: number,
  by: {
    readonly record: KeyedRecord;
    readonly skins: KeyedPlan['skins'];
    readonly settings: JointsSettings;
    readonly play: JointPlay | null;
    readonly asked: JointKind | null;
  },
): Joint {
  const { record, skins, settings, play, asked } = by;
  return {
    seam: section.seam.id,
    kind,
    stays: kind === 'magnets' || kind === 'screws' ? 'removable' : 'glued',
    wallMm,
    keys: keys.map(({ key }) => key),
    reliefMm: record.relieved[index]! ? settings.reliefMm : 0,
    skinMm: skins[index]!,
    play,
    aloneMm: misfitMm === null ? null : Math.min(misfitMm, LOOSE_MM),
    why: whyUnmet(asked, kind, why),
  };
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
    aloneMm: null,
    why: null,
  };
}
