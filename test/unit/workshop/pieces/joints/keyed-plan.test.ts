// What pieces turn out not to bear is taken back at its seam, and said; the rest of the chapter stands.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../../src/base/work.ts';
import type { SolidKernel } from '../../../../../src/geometry/solid/solid.ts';
import { scaled } from '../../../../../src/geometry/three-by-three.ts';
import { box, tube } from '../../../../../src/mesh/builders.ts';
import { bounds, middleOf } from '../../../../../src/mesh/measure.ts';
import type { Mesh, Vec3 } from '../../../../../src/mesh/mesh.ts';
import { computeJoints } from '../../../../../src/workshop/pieces/joints/joints.ts';
import { type AskedJoint, JointsSettings } from '../../../../../src/workshop/pieces/joints/joints-settings.ts';
import { testKernel } from '../../../../support/kernel.ts';
import { piecesOf, wornAs } from '../../../../support/pieces/run-pieces.ts';

const kernel = await testKernel();
const bedMm: Vec3 = [140, 140, 80];
/** A pipe cut along. */
const plain = piecesOf(tube({ outerMm: 60, wallMm: 4, heightMm: 120 }, 64, 6), { bedMm, mostBowMm: 0, beamWidth: 1 });

function joined(combine: SolidKernel['combine'], asked: readonly AskedJoint[] = []) {
  const meshes = new Map(plain.meshes);
  const put = (mesh: Mesh): string => {
    meshes.set(`keyed-${meshes.size}`, mesh);
    return `keyed-${meshes.size - 1}`;
  };
  const work = { ...QUIET_WORK, solid: { ...kernel, combine }, meshes: { get: (id: string) => meshes.get(id)!, put } };
  const machines = [{ id: 'bed', bedMm, nozzleMm: 0.4, clearanceMm: 0.2 }];
  const settings = JointsSettings.parse({ machines, marginMm: 5, marks: false, asked });
  const outcome = computeJoints({ wearer: wornAs('shell', null), pieces: plain.record }, settings, work);
  if (!outcome.ok) throw new Error(outcome.why);
  return outcome;
}

const seam = plain.record.seams[0]!;
const onSeam = (): Vec3 => [...seam.outlines[0]!.subarray(0, 3)] as unknown as Vec3;

describe('a plan of keys', () => {
  it('keys a pipe in two true, and tells the support of each piece', () => {
    const { value, findings } = joined(kernel.combine);
    for (const { kind, play } of value.joints) {
      expect(kind).toBe('tabs');
      expect(play!.nominalMm).toBeLessThanOrEqual(0.3);
    }
    expect(value.keySupportMm3!.length).toBe(value.pieces.length);
    expect(findings).toEqual([]);
  });

  it('takes keys back that part a piece', () => {
    const { value, findings } = joined((base, add, cut) => {
      if (add.length === 0) return kernel.combine(base, add, cut);
      // hangs on nothing, in the middle of the pipe
      const hung = box([-2, -2, 58], [2, 2, 62]);
      return kernel.combine(base, [...add, hung], cut);
    });
    for (const { kind, why } of value.joints) {
      expect(kind).toBe('none');
      expect(why).toMatch(/^With keys here [AB] would come in two\.$/);
    }
    expect(findings.map(({ code }) => code)).toContain('JOINT_NONE');
    for (const piece of value.pieces) expect(piece.poses.length).toBeGreaterThan(0);
  });

  it('takes keys back that leave too little skin, with the measure', () => {
    const asked = [{ name: '', atMm: onSeam() as [number, number, number], join: 'strips' as const }];
    const right = joined(kernel.combine, asked).value.joints[0]!;
    expect(right.kind).toBe('strips');
    expect(right.skinMm).toBeGreaterThanOrEqual(1.2);
    const outward = (mesh: Mesh): Mesh => {
      const [x, y] = middleOf(bounds(mesh));
      const shift = scaled([x, y, 0], 2 / Math.hypot(x, y));
      return { ...mesh, positions: mesh.positions.map((at, i) => at + shift[i % 3]!) };
    };
    const deep = joined((base, add, cut) => kernel.combine(base, add, cut.map(outward)), asked);
    expect(deep.value.joints[0]).toMatchObject({ kind: 'none', skinMm: null });
    expect(deep.value.joints[0]!.why).toMatch(/would leave 0\.\d\d mm of wall outside them; 1\.2 mm is to stay/);
  });
});
