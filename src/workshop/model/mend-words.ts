// What was mended, in a maker's words: one finding a step, with count, measure and place.
import type { FindingCode } from '../../base/codes.ts';
import { type Finding, finding } from '../../base/findings.ts';
import type { MendKind, MendStep } from '../../geometry/mend/mend-step.ts';
import { millimetres, place, plural } from './words.ts';

/** One finding per step. Space of the places: file. */
export function mendFindings(steps: readonly MendStep[]): readonly Finding[] {
  return steps.map((step) => {
    const { code, say, unit } = SAID[step.kind];
    const where = step.atMm === null ? { path: 'model' } : { path: 'model', space: 'file' as const, atMm: step.atMm };
    const at = step.atMm === null ? '' : ` ${PLACED[step.kind] ?? 'The first is at'} ${place(step.atMm)} of the file.`;
    return finding(code, `${say(step)}${at}`, {
      where,
      measured: unit === 'mm' && step.largestMm !== null ? step.largestMm : step.count,
      unit: unit === 'mm' ? 'mm' : '',
    });
  });
}

interface Said {
  readonly code: FindingCode;
  readonly unit: 'mm' | 'count';
  say(step: MendStep): string;
}

const moved = ({ largestMm }: MendStep): string =>
  largestMm === null || largestMm === 0 ? '' : `, by ${millimetres(largestMm)} at the most`;

const SAID: Readonly<Record<MendKind, Said>> = {
  'triangles-flat-removed': {
    code: 'MENDED_FLAT',
    unit: 'count',
    say: (step) => `${plural(step.count, 'triangle')} without an area ${were(step)} taken out${moved(step)}.`,
  },
  'triangles-double-removed': {
    code: 'MENDED_DOUBLE',
    unit: 'count',
    say: (step) => `${plural(step.count, 'triangle')} lay on another with the same corners and ${were(step)} left out.`,
  },
  'vertices-joined': {
    code: 'MENDED_SLITS',
    unit: 'mm',
    say: (step) =>
      `Open slits were closed: ${plural(step.count, 'point')} on their two sides ${were(step)} joined${moved(step)}.`,
  },
  'edges-split': {
    code: 'MENDED_STEPS_IN_EDGES',
    unit: 'count',
    say: (step) =>
      `${plural(step.count, 'edge')} met two shorter ones on the other side and ${were(step)} divided to match${moved(step)}.`,
  },
  'triangles-turned': {
    code: 'MENDED_FACING',
    unit: 'count',
    say: (step) => `${plural(step.count, 'triangle')} faced against their neighbours and ${were(step)} turned round.`,
  },
  'edges-parted': {
    code: 'MENDED_CROWDED',
    unit: 'count',
    say: (step) => `${plural(step.count, 'edge')} had more than two faces; the surfaces that touch there were parted.`,
  },
  'points-parted': {
    code: 'MENDED_PINCHED',
    unit: 'count',
    say: (step) => `At ${plural(step.count, 'point')} the surface only touched itself; there it was parted.`,
  },
  'holes-filled': {
    code: 'MENDED_HOLES',
    unit: 'mm',
    say: (step) =>
      `${plural(step.count, 'hole')} ${were(step)} filled with a smooth patch${step.largestMm === null ? '' : `; the longest was ${millimetres(step.largestMm)} round`}.`,
  },
  'shells-turned': {
    code: 'MENDED_INSIDE_OUT',
    unit: 'count',
    say: (step) =>
      step.count === 1
        ? 'The surface faced inward and was turned round.'
        : `${step.count} surfaces faced inward and were turned round.`,
  },
  'crumbs-removed': {
    code: 'MENDED_CRUMBS',
    unit: 'count',
    say: (step) =>
      `${plural(step.count, 'loose crumb')} of surface${step.largestMm === null ? '' : `, none larger than ${millimetres(step.largestMm)} across,`} ${were(step)} left out.`,
  },
  'shells-united': {
    code: 'MENDED_OVERLAPS',
    unit: 'count',
    say: (step) => `${plural(step.count, 'shell')} that overlap were united to what they cover together.`,
  },
  'crossings-patched': {
    code: 'MENDED_CROSSINGS',
    unit: 'count',
    say: (step) =>
      `At ${plural(step.count, 'pair')} of triangles the surface passed through itself; it was opened there and closed again${moved(step)}.`,
  },
  'sheets-thickened': {
    code: 'MENDED_SHEET',
    unit: 'count',
    say: (step) => `${plural(step.count, 'sheet')} without thickness ${were(step)} given a wall inward.`,
  },
  'surface-rebuilt': {
    code: 'MENDED_REBUILT',
    unit: 'mm',
    say: (step) =>
      `The surface was rebuilt from what lies inside and outside. It follows the one read to ${millimetres(step.largestMm ?? 0)} at the most.`,
  },
};

/** How the place of a step is introduced, where it is that of the largest change. */
const PLACED: Readonly<Partial<Record<MendKind, string>>> = {
  'vertices-joined': 'The widest was at',
  'holes-filled': 'It was about',
  'crumbs-removed': 'The largest lay about',
  'shells-turned': 'The largest lies about',
  'surface-rebuilt': 'That is at',
};

function were({ count }: MendStep): string {
  return count === 1 ? 'was' : 'were';
}
