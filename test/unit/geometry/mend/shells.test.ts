import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { selfCrossings } from '../../../../src/geometry/crossings/self-crossings.ts';
import { judgeShells, tidyShells } from '../../../../src/geometry/mend/shells.ts';
import { uniteShells } from '../../../../src/geometry/mend/unite-shells.ts';
import { box, hollowBall, icoSphere, together } from '../../../../src/mesh/builders.ts';
import { volume } from '../../../../src/mesh/measure.ts';
import type { Mesh } from '../../../../src/mesh/mesh.ts';
import { surfaceCheck, turnedInsideOut } from '../../../../src/mesh/topology.ts';
import { testKernel } from '../../../support/kernel.ts';

const kernel = await testKernel();
const rolesOf = (mesh: Mesh): string[] =>
  judgeShells(mesh, QUIET_WORK).shells.map(({ role, turn }) => `${role}${turn ? ' turned' : ''}`);
const tidied = (mesh: Mesh): Mesh => tidyShells(mesh, judgeShells(mesh, QUIET_WORK)).mesh;
const cube = box([0, 0, 0], [10, 10, 10]);
const inner = box([4, 4, 4], [6, 6, 6]);
const core = box([4.5, 4.5, 4.5], [5.5, 5.5, 5.5]);

describe('judgeShells', () => {
  it('calls a lone closed surface a solid, whichever way it faces', () => {
    expect(rolesOf(cube)).toEqual(['solid']);
    expect(rolesOf(turnedInsideOut(cube))).toEqual(['solid turned']);
  });
  it('tells a cavity from a solid within a solid by the way it faces', () => {
    expect(rolesOf(together([cube, turnedInsideOut(inner)]))).toEqual(['solid', 'cavity']);
    expect(rolesOf(together([cube, inner]))).toEqual(['solid', 'inner']);
    expect(rolesOf(hollowBall({ outerMm: 10, wallMm: 2 }, 2))).toEqual(['solid', 'cavity']);
  });
  it('turns a sheet whose hollow side faces outward', () => {
    const cap = (mesh: Mesh): Mesh => ({
      ...mesh,
      triangles: mesh.triangles.filter((_, h, t) => mesh.positions[t[h - (h % 3)]! * 3 + 2]! > 4),
    });
    expect(rolesOf(cap(icoSphere(10, 3)))).toEqual(['sheet']);
    expect(rolesOf(cap(turnedInsideOut(icoSphere(10, 3))))).toEqual(['sheet turned']);
  });
  it('turns a file that faces inward as a whole', () => {
    const all = turnedInsideOut(together([cube, turnedInsideOut(inner), core]));
    expect(rolesOf(all)).toEqual(['solid turned', 'cavity turned', 'solid turned']);
    expect(volume(tidied(all))).toBeCloseTo(1000 - 8 + 1, 9);
  });
  it('leaves out dust and surfaces folded flat, and says how much', () => {
    const dust = box([20, 20, 20], [20.01, 20.01, 20.01]);
    const fold = together([cube, dust]);
    const { mesh, steps } = tidyShells(fold, judgeShells(fold, QUIET_WORK));
    expect(steps).toMatchObject([{ kind: 'crumbs-removed', count: 1 }]);
    expect(volume(mesh)).toBeCloseTo(1000, 9);
  });
});

describe('uniteShells', () => {
  const united = (mesh: Mesh) => uniteShells(mesh, judgeShells(mesh, QUIET_WORK), selfCrossings(mesh), kernel);
  it('returns what does not overlap as it is', () => {
    const apart = together([cube, box([20, 0, 0], [30, 10, 10])]);
    const answer = united(apart);
    expect(answer.ok && answer.value.mesh).toBe(apart);
  });
  it('unites crossing boxes and keeps a third bit-equal', () => {
    const far = icoSphere(3, 2);
    const moved = { ...far, positions: far.positions.map((v) => v + 40) };
    const answer = united(together([cube, box([5, 5, 5], [15, 15, 15]), moved]));
    if (!answer.ok) throw new Error(answer.why);
    expect(volume(answer.value.mesh)).toBeCloseTo(1875 + volume(moved), 3);
    expect(answer.value.steps).toMatchObject([{ kind: 'shells-united', count: 2 }]);
    expect(surfaceCheck(answer.value.mesh)).toMatchObject({ closed: true, manifold: true, shells: 2 });
    expect(Array.from(answer.value.mesh.positions)).toEqual(expect.arrayContaining([moved.positions[0]!]));
  });
  it('lets a solid within a solid vanish and keeps cavities', () => {
    const shell = together([cube, turnedInsideOut(inner), box([1, 1, 1], [2, 2, 2])]);
    const answer = united(shell);
    expect(answer.ok && volume(answer.value.mesh)).toBeCloseTo(992, 3);
  });
});
