// The work of joining as steps that a calendar can place: support off, sanding, small parts, dry fits, gluing, beads, cure.
import { listed } from '../../base/listed.ts';
import { BEAD_HANDLING_S, GLUE_CURE_S, HANDS } from '../facts/adhesives.ts';
import type { AssembledJoin, SeamBead, SeamGluing } from '../process/assembly-record.ts';
import { joinGluing } from '../process/join-gluing.ts';
import type { Joint, JointsRecord } from '../process/joints-record.ts';
import { fromKeyPlaces, keyPlaces } from '../process/key-places.ts';
import { type MatingFaces, matingFaces } from '../process/mating-faces.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { Step } from '../process/step.ts';
import type { AssemblySettings } from './assembly-settings.ts';

const PRACTICE = 'Common practice, no source';
export const CAUTIONS = {
  glue: 'Cyanoacrylate bonds skin and eyelids in seconds and its vapour stings: wear safety glasses, air the room, keep paper and cotton away from it. Soak bonded skin apart in warm soapy water; with an eye, see a doctor.',
  activator: 'Activator is a solvent in a spray: no flame, air the room. Drops set by it get hot.',
  bead: 'Its solvent vapour is harmful and burns: gloves that the solvent does not pass, moving air, or a half mask with a cartridge for organic vapour.',
  hotTool:
    'The tip burns skin and melted plastic gives off fumes: aired room or extraction, heat-proof stand, never leave it switched on.',
  support: 'Support breaks off in sharp splinters: wear safety glasses, cut away from the hand.',
  dust: 'Sand wet or wear a dust mask.',
} as const;

interface Given {
  readonly joins: readonly AssembledJoin[];
  readonly seams: readonly SeamGluing[];
  readonly pieces: PiecesRecord;
  readonly record: JointsRecord;
  readonly settings: AssemblySettings;
}

/** In an order in which they can be done; `after` says what really has to come first. Cost: O(joins x seams). */
export function assemblySteps(given: Given): Step[] {
  const { joins, seams, pieces } = given;
  const ids = joins.length > 0 ? pieces.pieces.map(({ id }) => id) : [];
  const steps: Step[] = [...ids.map((id) => supportStep(id, given)), ...ids.flatMap((id) => sandStep(id, given))];
  steps.push(...joins.flatMap((join) => smallPartSteps(join, given)));
  // all goes together dry before there is glue on any of it: a key that is wrong in the last join is filed while the first still comes apart
  steps.push(...joins.map((_join, index) => fitStep(index, given)));
  joins.forEach((join, index) => {
    steps.push(...beadStep(index, given), glueStep(index, given));
    for (const seam of seamsOf(join, seams)) if (seam.tacks.length > 0) steps.push(hotStep(seam, index));
  });
  steps.push(...beadStep(null, given));
  if (cureSeconds(seams, given.settings) > 0) steps.push(cureStep(given));
  return steps;
}

/** From the last glue to the cure of all of it, s. */
export function cureSeconds(seams: readonly SeamGluing[], settings: AssemblySettings): number {
  const hasBead = seams.some(({ bead }) => bead !== null);
  const hasGlue = seams.some(({ drops }) => drops > 0);
  return Math.max(hasGlue ? GLUE_CURE_S : 0, hasBead ? settings.beadCureH * 3600 : 0);
}

/** "A", "A + B": a group as one thing on the bench. */
export function groupName(pieces: readonly string[]): string {
  return pieces.join(' + ');
}

function seamsOf(join: AssembledJoin, seams: readonly SeamGluing[]): SeamGluing[] {
  return seams.filter(({ seam }) => join.seams.includes(seam));
}

function jointOf(seam: string, { record }: Given): Joint {
  return record.joints.find((joint) => joint.seam === seam)!;
}

/** What is left under a key keeps it from its place as surely as a burr does. */
function supportStep(piece: string, { record, settings }: Given): Step {
  const places = fromKeyPlaces(keyPlaces(record.joints, piece), 'its');
  return {
    id: `support-${piece}`,
    name: `Take support and strings off ${piece}${places === '' ? '' : `, also ${places}`}`,
    handsOnS: settings.supportMin * 60,
    unattendedS: 0,
    after: [],
    needs: ['pliers', 'file or knife'],
    place: 'bench',
    caution: CAUTIONS.support,
    source: PRACTICE,
  };
}

/** All mating faces of a piece; nothing when it has none. */
function sandStep(piece: string, { pieces, seams, record }: Given): Step[] {
  const own = pieces.seams.filter((seam) => seam.pieces.includes(piece));
  if (own.length === 0) return [];
  const faces = matingFaces(piece, pieces.seams, record.joints);
  return [
    {
      id: `sand-${piece}`,
      name: sandName(piece, faces),
      handsOnS: seams.reduce((sum, seam) => sum + (own.some(({ id }) => id === seam.seam) ? seam.sandS / 2 : 0), 0),
      unattendedS: 0,
      after: [`support-${piece}`],
      needs: [
        ...(faces.plain.length > 0 ? ['grit 120 on a flat plate'] : []),
        ...(faces.keyed.length > 0 ? ['flat file or grit 120 on a small block'] : []),
        'file or knife',
      ],
      place: 'bench',
      caution: CAUTIONS.dust,
      source: PRACTICE,
    },
  ];
}

/** Each kind of face with the pieces that it meets. */
function sandName(piece: string, { plain, keyed, keys, bowed }: MatingFaces): string {
  const faces = (chosen: MatingFaces['plain']): string => {
    const others = [...new Set(chosen.flatMap(({ pieces }) => pieces.filter((id) => id !== piece)))].sort();
    return `${others.length > 1 ? 'faces' : 'face'} to ${listed(others)}`;
  };
  const parts = [
    ...(plain.length > 0 ? [`Sand ${piece} flat, the ${faces(plain)}`] : []),
    ...(keyed.length > 0 ? [`file the ${faces(keyed)} between the ${listed(keys)}`] : []),
    ...(bowed.length > 0 ? [`take only the burrs off the bowed ${faces(bowed)}`] : []),
  ].join('; ');
  return plain.length > 0 ? parts : `On ${piece} ${parts}`;
}

/** Loose strips and rods, magnets: what is glued into one piece before two come together. */
function smallPartSteps(join: AssembledJoin, given: Given): Step[] {
  return join.seams.flatMap((seam) => {
    const { keys } = jointOf(seam, given);
    const parts = keys.filter(({ kind }) => kind === 'strip' || kind === 'rod' || kind === 'magnet');
    if (parts.length === 0) return [];
    const kind = parts[0]!.kind;
    const carriers = [...new Set(parts.map(({ carrier }) => carrier))].sort();
    const isMagnet = kind === 'magnet';
    const name = kind === 'strip' ? 'splice' : kind;
    const countOf = (id: string): number => parts.filter(({ carrier }) => carrier === id).length;
    return [
      {
        id: `parts-${seam}`,
        name: isMagnet
          ? `Glue the magnets of ${seam} into both pieces, poles marked so that they attract`
          : `Glue the ${name}s of ${seam} by one half, ${listed(carriers.map((id) => `${countOf(id)} into ${id}`))}; no glue on the other half yet${kind === 'strip' ? '; press each onto the floor of its seat while it sets' : ''}`,
        handsOnS: parts.length * (isMagnet ? 2 : 1) * HANDS.smallPartS,
        unattendedS: 0,
        after: sandBefore([seam], given),
        needs: [
          isMagnet ? `${2 * parts.length} disc magnets` : `${parts.length} ${name}${parts.length === 1 ? '' : 's'}`,
          'cyanoacrylate, a drop each',
        ],
        place: 'bench',
        caution: CAUTIONS.glue,
        source: PRACTICE,
      },
    ];
  });
}

function fitStep(index: number, given: Given): Step {
  const join = given.joins[index]!;
  const small = smallPartSteps(join, given).map(({ id }) => id);
  const fit = `Fit ${groupName(join.moving)} dry onto ${groupName(join.onto)}`;
  const isLast = index === given.joins.length - 1;
  return {
    id: `fit-${index + 1}`,
    name: isLast ? `${fit}; run a thumb along each seam, then take all apart again` : fit,
    handsOnS: HANDS.fitS,
    unattendedS: 0,
    after: [
      ...sandBefore(join.seams, given),
      ...small,
      ...joinsBefore(index, given).map((before) => `fit-${before + 1}`),
    ],
    needs: ['needle file', 'feeler gauge or a strip of paper', 'tape'],
    place: 'bench',
    caution: null,
    source: PRACTICE,
  };
}

/** The joins that made the two groups, by their place in the order. */
function joinsBefore(index: number, { joins }: Given): number[] {
  const { moving, onto } = joins[index]!;
  return [moving, onto].flatMap((group) => {
    const made = joins.slice(0, index).findLastIndex((one) => one.moving.some((id) => group.includes(id)));
    return made < 0 ? [] : [made];
  });
}

/** Dry fits that no other goes on from: once they are done, all are. */
function lastFits(given: Given): string[] {
  const inner = new Set(given.joins.flatMap((_join, index) => joinsBefore(index, given)));
  return given.joins.flatMap((_join, index) => (inner.has(index) ? [] : [`fit-${index + 1}`]));
}

/** Both pieces of each seam. */
function sandBefore(seams: readonly string[], { pieces }: Given): string[] {
  const both = pieces.seams.filter(({ id }) => seams.includes(id)).flatMap((seam) => seam.pieces);
  return [...new Set(both)].sort().map((id) => `sand-${id}`);
}

function glueStep(index: number, given: Given): Step {
  const join = given.joins[index]!;
  const seams = seamsOf(join, given.seams);
  const glued = seams.filter(({ drops }) => drops > 0);
  const { faceDrops, insideDrops, pressS, tapes } = joinGluing(join, seams);
  const layS = seams.reduce((total, seam) => total + seam.layS, 0);
  const drops = faceDrops + insideDrops;
  const isGlued = glued.length > 0;
  const screws = seams.flatMap(({ seam }) => jointOf(seam, given).keys).filter(({ kind }) => kind === 'screw').length;
  const verb = isGlued ? 'Glue' : screws > 0 ? 'Screw' : 'Set';
  return {
    id: `glue-${index + 1}`,
    name: `${verb} ${groupName(join.moving)} onto ${groupName(join.onto)}`,
    handsOnS: HANDS.closeS + layS + pressS + tapes * HANDS.tapeS + screws * HANDS.smallPartS,
    unattendedS: 0,
    after: [
      ...lastFits(given),
      ...joinsBefore(index, given).map((before) => `glue-${before + 1}`),
      ...beadStep(index, given).map(({ id }) => id),
    ],
    needs: [
      ...(isGlued
        ? [
            `${drops} drops of cyanoacrylate, ${given.settings.grade} grade`,
            `${tapes} strips of tape`,
            ...(given.settings.activator ? ['activator'] : []),
          ]
        : []),
      ...(screws > 0 ? [`${screws} screw${screws === 1 ? '' : 's'}`, 'short screwdriver'] : []),
    ],
    place: isGlued ? 'aired bench' : 'bench',
    caution: !isGlued ? null : given.settings.activator ? `${CAUTIONS.glue} ${CAUTIONS.activator}` : CAUTIONS.glue,
    source: 'Drops and times: common practice, no source. Weight of a drop: a handbook of adhesive technology',
  };
}

function hotStep({ seam, tacks }: SeamGluing, index: number): Step {
  return {
    id: `hot-${seam}`,
    name: `Weld ${seam} inside with the hot tool, ${tacks.length} spots`,
    handsOnS: tacks.length * HANDS.tackS,
    unattendedS: 0,
    after: [`glue-${index + 1}`],
    needs: ['hot tool', 'snips of the same filament'],
    place: 'extraction or open window',
    caution: CAUTIONS.hotTool,
    source: PRACTICE,
  };
}

/** All beads that the join would shut off, in one go; with null, those that can wait for the end. */
function beadStep(beforeJoin: number | null, { seams, settings }: Given): Step[] {
  const laid = seams.filter(({ bead }) => bead !== null && bead.beforeJoin === beforeJoin);
  if (laid.length === 0) return [];
  const sum = (of: (bead: SeamBead) => number): number => laid.reduce((total, { bead }) => total + of(bead!), 0);
  const names = laid.length <= MOST_NAMED ? listed(laid.map(({ seam }) => seam)) : `${laid.length} seams`;
  const glued = [...new Set(laid.map(({ bead }) => bead!.afterJoin))].sort((one, other) => one - other);
  return [
    {
      id: beadId(beforeJoin),
      name: `Lay the bead inside ${names}, ${Math.round(sum(({ lengthMm }) => lengthMm))} mm in all, legs of ${settings.beadLegMm} mm`,
      handsOnS: sum(({ layS }) => layS) + laid.length * HANDS.beadStartS,
      unattendedS: BEAD_HANDLING_S,
      after: [
        ...glued.map((join) => `glue-${join + 1}`),
        ...laid.flatMap(({ seam, tacks }) => (tacks.length > 0 ? [`hot-${seam}`] : [])),
      ],
      needs: [`${sum(({ grams }) => grams).toFixed(1)} g of flexible solvent adhesive`, 'gloves', 'spatula'],
      place: 'aired room',
      caution: CAUTIONS.bead,
      source: PRACTICE,
    },
  ];
}

function beadId(beforeJoin: number | null): string {
  return beforeJoin === null ? 'bead-end' : `bead-before-${beforeJoin + 1}`;
}

/** More seams than this are counted, not named. */
const MOST_NAMED = 5;

function cureStep({ joins, seams, settings }: Given): Step {
  return {
    id: 'cure',
    name: 'Let all glue cure before sanding, heat or wear',
    handsOnS: 0,
    unattendedS: cureSeconds(seams, settings),
    after: [
      ...joins.map((_join, index) => `glue-${index + 1}`),
      ...new Set(seams.flatMap(({ bead }) => (bead === null ? [] : [beadId(bead.beforeJoin)]))),
      ...seams.flatMap(({ seam, tacks }) => (tacks.length === 0 ? [] : [`hot-${seam}`])),
    ],
    needs: [],
    place: 'aired shelf',
    caution: null,
    source:
      'Cyanoacrylate 8 to 24 h by two data sheets; flexible solvent adhesive 24 to 72 h, common practice, no source',
  };
}
