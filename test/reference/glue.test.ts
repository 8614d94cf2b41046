// Drops, runs, beads and times of two seams as reckoned by hand, and what a handbook says of the glue.
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { AssemblySettings } from '../../src/workshop/assembly/assembly.ts';
import { seamGluing } from '../../src/workshop/assembly/seam-gluing.ts';
import { DROP_G, GLUE_GRADES, type GlueGrade } from '../../src/workshop/facts/adhesives.ts';
import type { AssembledJoin } from '../../src/workshop/process/assembly-record.ts';
import type { Joint, Key } from '../../src/workshop/process/joints-record.ts';
import type { Seam } from '../../src/workshop/process/pieces-record.ts';
import { plainJoint } from '../support/plain-joints.ts';

const fact = <T>(name: string): { value: T; tolerance: { relative: number; absolute: number } } =>
  JSON.parse(readFileSync(new URL(`./${name}.json`, import.meta.url), 'utf8'));

const seam = (id: string, outerMm: number, innerMm: number, areaMm2: number): Seam =>
  ({ id, outerMm, innerMm, areaMm2, bowMm: 0, lines: [] }) as unknown as Seam;
const tab = { kind: 'tab', widthMm: 16 } as unknown as Key;
const SEAMS: readonly (readonly [Seam, Joint])[] = [
  [seam('B-A', 254, 240, 700), plainJoint({ id: 'B-A' }, { kind: 'tabs', keys: [tab, tab, tab] })],
  [seam('C-B', 660, 600, 1950), plainJoint({ id: 'C-B' })],
];
const joins: AssembledJoin[] = SEAMS.map(([{ id }]) => ({
  moving: ['B'],
  onto: ['C'],
  towards: [0, 0, 1],
  seams: [id],
  meets: [],
  reach: [{ seam: id, share: 1 }],
}));

describe('two seams by hand', () => {
  const { value, tolerance } = fact<{ working: Record<string, number> }[]>('glue-two-seams');
  const settings = AssemblySettings.parse({ hotTool: true });
  it.each([0, 1])('seam %i', (index) => {
    const [about, joint] = SEAMS[index]!;
    const asked: number[] = [];
    const got = seamGluing(about, joint, {
      joins,
      settings,
      spread: (num) => {
        asked.push(num);
        return [];
      },
    });
    const found: Record<string, number> = {
      drops: got.drops,
      dropsG: got.dropsG,
      runs: got.runs,
      runMm: got.runMm,
      layS: got.layS,
      holdS: got.holdS,
      tapes: got.tapes,
      sandS: got.sandS,
      beadMm: got.bead!.lengthMm,
      beadMm3: got.bead!.volumeMm3,
      beadG: got.bead!.grams,
      beadLayS: got.bead!.layS,
      tacks: asked[0]!,
    };
    const { working } = value[index]!;
    expect(Object.keys(found)).toEqual(Object.keys(working));
    for (const [key, by] of Object.entries(working))
      expect(Math.abs(found[key]! / by - 1), key).toBeLessThan(tolerance.relative);
  });
});

it('a drop weighs what the handbook says', () => {
  expect(DROP_G).toBe(fact<number>('glue-drop').value);
});

it('gaps are the mils of the handbook', () => {
  const { value, tolerance } = fact<Record<GlueGrade, number>>('glue-gaps');
  for (const grade of ['thin', 'medium', 'thick'] as const)
    expect(Math.abs(GLUE_GRADES[grade].gapMm - value[grade] * 0.0254)).toBeLessThan(tolerance.absolute);
});
