// Surfaces that cross themselves in known ways, and the volumes of what they mean.
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../../../src/base/random.ts';
import { Cancelled, QUIET_WORK } from '../../../../../src/base/work.ts';
import { selfCrossings } from '../../../../../src/geometry/crossings/self-crossings.ts';
import { mendSurface } from '../../../../../src/geometry/mend/mend-surface.ts';
import { uncross } from '../../../../../src/geometry/mend/uncross/uncross.ts';
import { windingExact } from '../../../../../src/geometry/winding/winding-number.ts';
import { box, hollowBall, icoSphere, together, torus } from '../../../../../src/mesh/builders.ts';
import { volume } from '../../../../../src/mesh/measure.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../../../src/mesh/mesh.ts';
import { surfaceCheck, turnedInsideOut } from '../../../../../src/mesh/topology.ts';
import { splitApart } from '../../../../support/damage.ts';
import { testKernel } from '../../../../support/kernel.ts';

function moved(mesh: Mesh, by: Vec3): Mesh {
  return meshOf(
    mesh.positions.map((x, i) => x + by[i % 3]!),
    mesh.triangles,
  );
}

const cases: readonly {
  readonly name: string;
  readonly mesh: Mesh;
  readonly volumeMm3: number;
  readonly shells: number;
  readonly relative?: number;
}[] = [
  {
    name: 'two boxes through each other, an edge on a diagonal',
    mesh: together([box([0, 0, 0], [4, 4, 4]), box([1, 1.5, 2], [3, 3, 7])]),
    volumeMm3: 64 + 2 * 1.5 * 3,
    shells: 1,
    relative: 1e-5,
  },
  {
    name: 'two boxes overlapping at a corner',
    mesh: together([box([0, 0, 0], [4, 4, 4]), box([3, 3.1, 3.2], [7, 7, 7])]),
    volumeMm3: 64 + 4 * 3.9 * 3.8 - 1 * 0.9 * 0.8,
    shells: 1,
  },
  {
    name: 'two boxes with four faces in common planes',
    mesh: together([box([0, 0, 0], [4, 4, 4]), box([2, 0, 0], [6, 4, 4])]),
    volumeMm3: 96,
    shells: 1,
    relative: 1e-5,
  },
  {
    name: 'two boxes touching face on face',
    mesh: together([box([0, 0, 0], [4, 4, 4]), box([4, 1, 1], [6, 3, 3])]),
    volumeMm3: 64 + 8,
    shells: 1,
    relative: 1e-5,
  },
  {
    name: 'a box within a box goes, a cavity stays',
    mesh: together([
      box([0, 0, 0], [9, 9, 9]),
      box([1, 1, 1], [2, 2, 2]),
      turnedInsideOut(box([4, 4, 4], [6, 6, 6])),
      box([8, 8.1, 8.53], [9.5, 10, 10]),
    ]),
    volumeMm3: 729 - 8 + 1.5 * 1.9 * 1.47 - 0.9 * 0.47,
    shells: 2,
  },
];

describe('uncrossing', () => {
  it.each(cases)('$name', ({ mesh, volumeMm3, shells, relative }) => {
    const got = uncross(mesh, QUIET_WORK);
    const check = surfaceCheck(got.mesh);
    expect(got.pairsBefore).toBeGreaterThan(0);
    expect(got.pairsLeft).toBe(0);
    expect(selfCrossings(got.mesh).pairs).toBe(0);
    expect({ closed: check.closed, manifold: check.manifold, shells: check.shells }).toEqual({
      closed: true,
      manifold: true,
      shells,
    });
    expect(Math.abs(volume(got.mesh) / volumeMm3 - 1)).toBeLessThan(relative ?? 1e-12);
    expect(got.steps).toMatchObject([{ kind: 'crossings-patched', count: got.pairsBefore }]);
  });

  it('three bars: by inclusion and exclusion', () => {
    const bars: readonly (readonly [Vec3, Vec3])[] = [
      [[-5, -1, -1], [5, 1, 1]], // biome-ignore format: a box a line
      [[-1.1, -5, -1.2], [0.9, 5, 0.8]], // biome-ignore format: a box a line
      [[-0.8, -1.2, -5], [1.2, 0.7, 5]], // biome-ignore format: a box a line
    ];
    const common = (...boxes: readonly (readonly [Vec3, Vec3])[]): number =>
      [0, 1, 2].reduce(
        (product, k) => product * (Math.min(...boxes.map((b) => b[1][k]!)) - Math.max(...boxes.map((b) => b[0][k]!))),
        1,
      );
    const [a, b, c] = [bars[0]!, bars[1]!, bars[2]!];
    const wanted = common(a) + common(b) + common(c) - common(a, b) - common(b, c) - common(c, a) + common(a, b, c);
    const got = uncross(together(bars.map(([low, high]) => box(low, high))), QUIET_WORK);
    expect(got.pairsLeft).toBe(0);
    expect(surfaceCheck(got.mesh)).toMatchObject({ manifold: true, shells: 1, genus: 0 });
    expect(Math.abs(volume(got.mesh) / wanted - 1)).toBeLessThan(1e-12);
  });

  it('one shell through itself: a hose laid in a loop', () => {
    const mesh = hoseLoop(60, 10);
    const got = uncross(mesh, QUIET_WORK);
    expect(got.pairsBefore).toBeGreaterThan(20);
    expect(got.pairsLeft).toBe(0);
    // a ring with one handle gets another where it meets itself
    expect(surfaceCheck(got.mesh)).toMatchObject({ manifold: true, shells: 1, genus: 2 });
    const random = randomStream(5);
    const points = Float64Array.from({ length: 3 * 1500 }, (_, i) => [34, 34, 6][i % 3]! * (random() - 0.35));
    const was = windingExact(mesh, points);
    const is = windingExact(got.mesh, points);
    expect(was.some((w) => w > 1.5)).toBe(true);
    for (let i = 0; i < was.length; i++) expect(Math.abs(is[i]! - (was[i]! > 0.5 ? 1 : 0))).toBeLessThan(1e-6);
  });

  it('a fold pushed out through the far side is cut to the outline', () => {
    const mesh = icoSphere(10, 3);
    const positions = mesh.positions.slice();
    // the cap around +z is pulled down through the bottom
    for (let v = 0; v < positions.length; v += 3) {
      const r = Math.hypot(positions[v]!, positions[v + 1]!);
      if (positions[v + 2]! > 0 && r < 4) positions[v + 2] = positions[v + 2]! - 6 * (4 - r);
    }
    const folded = meshOf(positions, mesh.triangles);
    const got = uncross(folded, QUIET_WORK);
    expect(got.pairsBefore).toBeGreaterThan(10);
    expect(got.pairsLeft).toBe(0);
    // what hung out was wound round minus once: gone, and its mouth is an opening through the ball
    expect(surfaceCheck(got.mesh)).toMatchObject({ manifold: true, shells: 1, genus: 1 });
    expect(volume(got.mesh)).toBeGreaterThan(volume(folded));
  });

  it('leaves a surface without crossings as it is', () => {
    const mesh = hollowBall({ outerMm: 20, wallMm: 3 }, 3);
    expect(uncross(mesh, QUIET_WORK)).toEqual({ mesh, steps: [], pairsBefore: 0, pairsLeft: 0 });
  });

  it('does not open what it cannot close: an open surface comes back as it was', () => {
    const whole = together([box([0, 0, 0], [4, 4, 4]), box([1, 1.5, 2], [3, 3, 7])]);
    const open = meshOf(whole.positions, whole.triangles.subarray(3));
    const got = uncross(open, QUIET_WORK);
    expect(got.mesh).toBe(open);
    expect(got.steps).toEqual([]);
    expect(got.pairsLeft).toBe(got.pairsBefore);
  });

  it('two halves of a ball that overlap, their faces there lying on each other, become the ball again', async () => {
    const { triangulate } = await testKernel();
    const ball = icoSphere(50, 4);
    for (const seed of [1, 2, 3, 4]) {
      const halves = splitApart(ball, triangulate, randomStream(seed));
      const sound = mendSurface(halves, {}, QUIET_WORK).mesh;
      const got = uncross(sound, QUIET_WORK);
      expect(got.pairsBefore).toBeGreaterThan(50);
      expect(got.pairsLeft).toBe(0);
      expect(surfaceCheck(got.mesh)).toMatchObject({ closed: true, shells: 1, genus: 0 });
      expect(Math.abs(volume(got.mesh) / volume(ball) - 1)).toBeLessThan(1e-5);
    }
  });

  it('gives up on a tangle too large to cut, and says what is left', () => {
    // every face round the axis crosses all others at every height
    const mesh = torus({ majorMm: 6, minorMm: 10 }, 300, 100);
    const got = uncross(mesh, QUIET_WORK);
    expect(got.mesh).toBe(mesh);
    expect(got.pairsLeft).toBe(got.pairsBefore);
  });

  it('stops when told to and never says it goes backwards', () => {
    const mesh = together([icoSphere(10, 4), moved(icoSphere(10, 4), [5, 3, 1])]);
    const seen: number[] = [];
    uncross(mesh, { ...QUIET_WORK, tick: (fraction) => void seen.push(fraction) });
    expect(seen.every((f, i) => f >= (seen[i - 1] ?? 0) && f <= 1)).toBe(true);
    for (const at of [1, Math.trunc(seen.length / 2), seen.length]) {
      let ticks = 0;
      const stop = (): void => {
        if (++ticks === at) throw new Cancelled();
      };
      expect(() => uncross(mesh, { ...QUIET_WORK, tick: stop })).toThrow(Cancelled);
    }
  });
});

/** A closed hose along a curve with a small loop in a large one, through which it crosses itself once. */
function hoseLoop(along: number, around: number): Mesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let i = 0; i < along; i++) {
    const angle = (2 * Math.PI * i) / along;
    const at = (t: number): Vec3 => {
      const r = 6 + 14 * Math.cos(t);
      return [r * Math.cos(t), r * Math.sin(t), 1.3 * Math.sin(t) * Math.cos(t)];
    };
    const [here, ahead] = [at(angle), at(angle + 1e-4)];
    const way = Math.hypot(ahead[0] - here[0], ahead[1] - here[1]);
    const across = [-(ahead[1] - here[1]) / way, (ahead[0] - here[0]) / way] as const;
    for (let k = 0; k < around; k++) {
      const turn = (2 * Math.PI * (k + 0.3)) / around;
      const [out, up] = [1.7 * Math.cos(turn), 1.7 * Math.sin(turn)];
      positions.push(here[0] + out * across[0], here[1] + out * across[1], here[2] + up);
      const [next, beside] = [(i + 1) % along, (k + 1) % around];
      const [a, b] = [i * around + k, i * around + beside];
      const [c, d] = [next * around + k, next * around + beside];
      triangles.push(a, c, b, b, c, d);
    }
  }
  const mesh = meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
  return volume(mesh) > 0 ? mesh : turnedInsideOut(mesh);
}
