// Steps of joints that are not all glued: magnets, strips, a bowed face, a hot tool.
import { describe, expect, it } from 'vitest';
import { AssemblySettings } from '../../../../src/workshop/assembly/assembly.ts';
import { assemblySteps } from '../../../../src/workshop/assembly/assembly-steps.ts';
import { seamGluing } from '../../../../src/workshop/assembly/seam-gluing.ts';
import type { AssembledJoin } from '../../../../src/workshop/process/assembly-record.ts';
import type { Joint, JointsRecord, Key } from '../../../../src/workshop/process/joints-record.ts';
import type { PiecesRecord, Seam } from '../../../../src/workshop/process/pieces-record.ts';
import { plainJoint } from '../../../support/plain-joints.ts';

const seams = [
  { id: 'B-A', pieces: ['B', 'A'], outerMm: 300, innerMm: 280, areaMm2: 800, bowMm: 0, lines: [] },
  { id: 'C-B', pieces: ['C', 'B'], outerMm: 200, innerMm: 180, areaMm2: 500, bowMm: 4, lines: [] },
] as unknown as Seam[];
const pieces = { pieces: [{ id: 'A' }, { id: 'B' }, { id: 'C' }], seams } as unknown as PiecesRecord;
const joins: AssembledJoin[] = [
  { moving: ['A'], onto: ['B'], towards: [0, 0, -1], seams: ['B-A'], meets: [], reach: [{ seam: 'B-A', share: 1 }] },
  {
    moving: ['C'],
    onto: ['B', 'A'],
    towards: [0, 0, 1],
    seams: ['C-B'],
    meets: [],
    reach: [
      { seam: 'B-A', share: 1 },
      { seam: 'C-B', share: 1 },
    ],
  },
];
const keyed = (kind: Key['kind'], carriers: string): Key[] =>
  [...carriers].map((carrier) => ({ kind, carrier, widthMm: 16 }) as unknown as Key);

function stepsOf(joints: readonly Joint[], more: Partial<AssemblySettings> = {}) {
  const settings = AssemblySettings.parse(more);
  const spread = (num: number) => Array.from({ length: num }, (_, i) => [i, 0, 0] as const);
  const glued = seams.map((seam, i) => seamGluing(seam, joints[i]!, { joins, settings, spread }));
  return assemblySteps({ joins, seams: glued, pieces, record: { joints } as unknown as JointsRecord, settings });
}

describe('steps', () => {
  it('of a removable joint set magnets in both pieces and lay neither drops nor bead', () => {
    const steps = stepsOf([
      plainJoint(seams[0]!, { kind: 'magnets', stays: 'removable', keys: keyed('magnet', 'AAA') }),
      plainJoint(seams[1]!),
    ]);
    expect(steps.map(({ id }) => id)).toEqual([
      'support-A',
      'support-B',
      'support-C',
      'sand-A',
      'sand-B',
      'sand-C',
      'parts-B-A',
      'fit-1',
      'fit-2',
      'glue-1',
      'glue-2',
      'bead-end',
      'cure',
    ]);
    const of = (id: string) => steps.find((step) => step.id === id)!;
    expect(of('parts-B-A').needs[0]).toBe('6 disc magnets');
    expect(of('fit-1').after).toEqual(['sand-A', 'sand-B', 'parts-B-A']);
    expect(of('glue-1')).toMatchObject({ name: 'Set A onto B', handsOnS: 60, needs: [], caution: null });
    expect(of('bead-end').name).toContain('inside C-B, 180 mm');
    expect(of('fit-2').after).toEqual(['sand-B', 'sand-C', 'fit-1']);
    expect(of('fit-2').name).toContain('then take all apart again');
    expect(of('glue-1').after).toEqual(['fit-2']);
    expect(of('glue-2').after).toEqual(['fit-2', 'glue-1']);
  });

  it('glue strips into their carriers first, sand flat faces and leave bowed ones', () => {
    const steps = stepsOf([
      plainJoint(seams[0]!, { kind: 'strips', keys: keyed('strip', 'BAB') }),
      plainJoint(seams[1]!),
    ]);
    const of = (id: string) => steps.find((step) => step.id === id)!;
    expect(of('parts-B-A').name).toBe(
      'Glue the splices of B-A by one half, 1 into A and 2 into B; no glue on the other half yet; press each onto the floor of its seat while it sets',
    );
    expect(of('sand-B').name).toBe('Sand B flat, the face to A; take only the burrs off the bowed face to C');
    // 30 s and 6 s for each of 8 cm2, and 30 s for burrs
    expect(of('sand-B').handsOnS).toBeCloseTo(108, 9);
    expect(of('sand-C').handsOnS).toBeCloseTo(30, 9);
  });

  it('take support off first, also from under and out of the keys that a piece has', () => {
    const steps = stepsOf(
      [
        plainJoint(seams[0]!, {
          kind: 'tabs',
          keys: [{ ...keyed('tab', 'A')[0]!, receiver: 'B', heldBy: 'pocket' }],
        }),
        plainJoint(seams[1]!, { kind: 'pins', keys: [{ ...keyed('pin', 'C')[0]!, receiver: 'B' }] }),
      ],
      { supportMin: 4 },
    );
    const of = (id: string) => steps.find((step) => step.id === id)!;
    expect(of('support-A')).toMatchObject({
      name: 'Take support and strings off A, also from under its tabs',
      handsOnS: 240,
    });
    expect(of('support-B').name).toBe(
      'Take support and strings off B, also from under its stops and lips and out of its sockets',
    );
    expect(of('support-C').name).toBe('Take support and strings off C, also from under its pins');
    expect(of('sand-B').after).toEqual(['support-B']);
    expect(stepsOf(seams.map((seam) => plainJoint(seam)))[0]!.name).toBe('Take support and strings off A');
  });

  it('file a face between the keys that stand out of it, which no plate reaches', () => {
    const steps = stepsOf([
      plainJoint(seams[0]!, { kind: 'tabs', keys: keyed('tab', 'BB') }),
      plainJoint(seams[1]!, { kind: 'tabs', keys: keyed('tab', 'CB') }),
    ]);
    const of = (id: string) => steps.find((step) => step.id === id)!;
    expect(of('sand-B').name).toBe(
      'On B file the face to A between the tabs; take only the burrs off the bowed face to C',
    );
    expect(of('sand-B').needs).toEqual(['flat file or grit 120 on a small block', 'file or knife']);
    expect(of('sand-A').name).toBe('Sand A flat, the face to B');
    expect(of('sand-A').needs).toEqual(['grit 120 on a flat plate', 'file or knife']);
    expect(of('sand-C').name).toBe('On C take only the burrs off the bowed face to B');
  });

  it('come in an order in which each one finds done what it waits for', () => {
    const ids = stepsOf(seams.map((seam) => plainJoint(seam))).map(({ id }) => id);
    for (const { id, after } of stepsOf(seams.map((seam) => plainJoint(seam))))
      expect(after.filter((before) => ids.indexOf(before) >= ids.indexOf(id))).toEqual([]);
  });

  it('wait only for steps that are there', () => {
    for (const kind of ['strip', 'magnet', 'screw'] as const) {
      const steps = stepsOf([plainJoint(seams[0]!, { keys: keyed(kind, 'BAB') }), plainJoint(seams[1]!)]);
      const ids = steps.map(({ id }) => id);
      expect(steps.flatMap(({ after }) => after).filter((id) => !ids.includes(id))).toEqual([]);
    }
  });

  it('have nothing to cure where nothing is glued', () => {
    const screwed = (seam: Seam) =>
      plainJoint(seam, { kind: 'screws', stays: 'removable', keys: keyed('screw', 'BB') });
    expect(stepsOf(seams.map(screwed)).at(-1)!.id).toBe('glue-2');
  });

  it('screw what comes apart, with its screws and a driver ready', () => {
    const screwed = plainJoint(seams[0]!, { kind: 'screws', stays: 'removable', keys: keyed('screw', 'BBB') });
    const step = stepsOf([screwed, plainJoint(seams[1]!)]).find(({ id }) => id === 'glue-1')!;
    expect(step.name).toBe('Screw A onto B');
    expect(step.needs).toEqual(['3 screws', 'short screwdriver']);
    // closing, and a minute a screw
    expect(step.handsOnS).toBe(60 + 3 * 60);
  });

  it('weld with a hot tool before the bead, with its caution', () => {
    const steps = stepsOf([plainJoint(seams[0]!), plainJoint(seams[1]!)], { hotTool: true, activator: true });
    const hot = steps.find(({ id }) => id === 'hot-B-A')!;
    // 280 mm, one every 60
    expect(hot.name).toContain('5 spots');
    expect(hot.caution).toContain('fumes');
    expect(steps.find(({ id }) => id === 'bead-end')!.after).toEqual(['glue-2', 'hot-B-A', 'hot-C-B']);
    const glue = steps.find(({ id }) => id === 'glue-1')!;
    expect(glue.caution).toContain('no flame');
    // closing, 24 drops, one run of 8 s with activator, four strips of tape
    expect(glue.handsOnS).toBeCloseTo(60 + 24 * 1.5 + 8 + 4 * 10, 9);
  });
});
