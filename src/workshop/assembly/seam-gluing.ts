// How each seam is glued: drops and runs of cyanoacrylate, the bead inside, tape, tacks and the sanding before.
import type { Vec3 } from '../../mesh/mesh.ts';
import { ACTIVATED_HOLD_S, BEAD_DENSITY_G_CM3, BEAD_MM_S, DROP_G, GLUE_GRADES, HANDS } from '../facts/adhesives.ts';
import { type AssembledJoin, IN_REACH, type SeamBead, type SeamGluing } from '../process/assembly-record.ts';
import type { Joint } from '../process/joints-record.ts';
import { isBowed } from '../process/mating-faces.ts';
import type { Seam } from '../process/pieces-record.ts';
import type { AssemblySettings } from './assembly-settings.ts';
import { evenPlaces } from './even-places.ts';

/** Less of a bead than this is not worth a mention. */
const LEAST_BEAD_SHARE = 0.05;

/** openS and holdS as they are used: the maker's own, else those of the grade, the hold shorter with activator. */
export function glueTimes(settings: AssemblySettings): { readonly openS: number; readonly holdS: number } {
  const usual = GLUE_GRADES[settings.grade];
  const holdS = settings.activator ? Math.min(usual.holdS, ACTIVATED_HOLD_S) : usual.holdS;
  return { openS: settings.openS ?? usual.openS, holdS: settings.holdS ?? holdS };
}

/** Drops of a line: one each spacing, and no less than one. */
export function dropsOn(lengthMm: number, spacingMm: number): number {
  return Math.max(1, Math.ceil(lengthMm / spacingMm - 1e-9));
}

/** Triangular fillet: half of the square of its leg, mm2. */
export function filletAreaMm2(legMm: number): number {
  return (legMm * legMm) / 2;
}

export function seamGluing(
  seam: Seam,
  joint: Joint,
  by: {
    readonly joins: readonly AssembledJoin[];
    readonly settings: AssemblySettings;
    /** Places on its inner edge, spread as evenly as can be. */
    readonly spread: (num: number) => Vec3[];
  },
): SeamGluing {
  const { settings, joins } = by;
  const lengthMm = seam.outerMm >= 0.5 ? seam.outerMm : seam.innerMm;
  const isGlued = joint.stays === 'glued';
  const reached = reachOf(seam.id, joins);
  const share = reached[0]?.share ?? 0;
  const drops = isGlued ? dropsOn(lengthMm, settings.dropSpacingMm) : 0;
  const faceDrops = share >= IN_REACH || drops === 0 ? 0 : Math.ceil(drops * (1 - share) - 1e-9);
  const insideDrops = drops - faceDrops;
  const { openS, holdS } = glueTimes(settings);
  // on an open face all drops lie before it is closed, so they are one run however long they take
  const insideARun = Math.max(1, Math.min(insideDrops, Math.floor(openS / settings.dropS)));
  const dropsARun = insideDrops === 0 ? drops : insideARun;
  const runs = (faceDrops > 0 ? 1 : 0) + Math.ceil(insideDrops / insideARun);
  const tacks = settings.hotTool && isGlued && share >= IN_REACH ? by.spread(tacksOn(seam.innerMm, settings)) : [];
  const tapes = isGlued ? Math.max(2, Math.floor(lengthMm / settings.tapeEveryMm) + 1) : 0;
  return {
    seam: seam.id,
    stays: joint.stays,
    lengthMm,
    stepMm: joint.play === null ? null : { nominal: joint.play.nominalMm, printed: joint.play.printedMm },
    sandS: sandSeconds(seam),
    drops,
    dropsG: drops * DROP_G,
    faceDrops,
    runs,
    dropsARun,
    runMm: Math.min(lengthMm, dropsARun * settings.dropSpacingMm),
    layS: drops * settings.dropS,
    holdS: runs * holdS,
    tapes,
    tapeAt: evenPlaces(seam.lines, tapes),
    tacks,
    bead: isGlued && settings.bead ? beadOf(seam, joint, reached, settings) : null,
  };
}

/** Both faces: flat ones on a plate or, between keys, with a file; of bowed ones only the burrs are taken off. */
function sandSeconds(seam: Seam): number {
  return 2 * (HANDS.sandStartS + (isBowed(seam) ? 0 : (HANDS.sandSCm2 * seam.areaMm2) / 100));
}

function tacksOn(innerMm: number, { tackEveryMm }: AssemblySettings): number {
  return innerMm < 0.5 ? 0 : Math.max(2, Math.round(innerMm / tackEveryMm));
}

interface Reached {
  readonly join: number;
  readonly share: number;
}

/** From the join that closes the seam on, every join that changes its group. */
function reachOf(seam: string, joins: readonly AssembledJoin[]): Reached[] {
  return joins.flatMap(({ reach }, join) => {
    const found = reach.find((one) => one.seam === seam);
    return found === undefined ? [] : [{ join, share: found.share }];
  });
}

function beadOf(seam: Seam, joint: Joint, reached: readonly Reached[], settings: AssemblySettings): SeamBead | null {
  const best = lastBest(reached);
  if (best === null || best.share < LEAST_BEAD_SHARE) return null;
  const lengthMm = freeInnerMm(seam, joint) * best.share;
  const volumeMm3 = lengthMm * filletAreaMm2(settings.beadLegMm);
  const next = reached.find(({ join, share }) => join > best.join && share < best.share - 1e-9);
  return {
    lengthMm,
    volumeMm3,
    grams: (volumeMm3 / 1000) * BEAD_DENSITY_G_CM3,
    layS: lengthMm / BEAD_MM_S,
    share: best.share,
    afterJoin: best.join,
    beforeJoin: next?.join ?? null,
  };
}

/** The last time that the whole edge is in reach; where it never is, the last time that most of it is. */
function lastBest(reached: readonly Reached[]): Reached | null {
  const whole = reached.findLast(({ share }) => share >= IN_REACH);
  if (whole !== undefined) return whole;
  return reached.reduce<Reached | null>((best, one) => (best === null || one.share >= best.share ? one : best), null);
}

/** Keys that lie on the inner edge take their width from the bead. */
function freeInnerMm({ innerMm }: Seam, { keys }: Joint): number {
  const covered = keys
    .filter(({ kind }) => kind === 'tab' || kind === 'strip' || kind === 'lap')
    .reduce((sum, { widthMm }) => sum + widthMm, 0);
  return Math.max(0, innerMm - covered);
}
