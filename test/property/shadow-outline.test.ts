// The outline of a shadow holds every vertex and edge of the mesh above it, and lies no farther out than it says.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loopArea, SHADOW_DEFAULTS, shadowOutline } from '../../src/geometry/shadow-outline.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { transformMesh } from '../../src/mesh/transform.ts';
import { ball, ring as ringOf } from '../support/section-shapes.ts';

const SEED = 11;

function turned(mesh: Mesh, aRad: number, bRad: number): Mesh {
  const [ca, sa, cb, sb] = [Math.cos(aRad), Math.sin(aRad), Math.cos(bRad), Math.sin(bRad)];
  return transformMesh([ca, sa * cb, sa * sb, -sa, ca * cb, ca * sb, 0, -sb, cb, 0, 0, 0], mesh);
}

/** By the even-odd rule. */
function isInside(loops: readonly Float64Array[], x: number, y: number): boolean {
  let inside = false;
  for (const loop of loops)
    for (let i = 0, j = loop.length - 2; i < loop.length; j = i, i += 2) {
      const [ax, ay, bx, by] = [loop[j]!, loop[j + 1]!, loop[i]!, loop[i + 1]!];
      if (ay > y !== by > y && x < ax + ((y - ay) * (bx - ax)) / (by - ay)) inside = !inside;
    }
  return inside;
}

describe(`outlines of shadows (seed ${SEED})`, () => {
  it('hold every point of the surface', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 3, noNaN: true }), fc.double({ min: 0, max: 3, noNaN: true }), (a, b) => {
        const mesh = turned(SHAPES[0]!, a, b);
        const loops = shadowOutline(mesh);
        const { positions: p, triangles: t } = mesh;
        for (let i = 0; i < t.length; i += 3)
          for (const [u, v] of [
            [1, 0],
            [0.5, 0.5],
            [0.3, 0.3],
          ] as const) {
            const at = (axis: number): number =>
              u * p[3 * t[i]! + axis]! + v * p[3 * t[i + 1]! + axis]! + (1 - u - v) * p[3 * t[i + 2]! + axis]!;
            if (!isInside(loops, at(0), at(1))) throw new Error(`${at(0)}, ${at(1)} lies outside`);
          }
      }),
      { seed: SEED, numRuns: 20 },
    );
  });

  it('are hardly larger than the shadow: a disc of 50 mm, a ring with its hole', () => {
    const [ring, round] = SHAPES;
    const disc = shadowOutline(round!);
    expect(disc).toHaveLength(1);
    const radius = Math.sqrt(loopArea(disc[0]!) / Math.PI);
    expect(radius).toBeGreaterThan(50);
    expect(radius).toBeLessThan(50 + 3 * SHADOW_DEFAULTS.cellMm);
    const loops = shadowOutline(ring!);
    expect(loops.map((loop) => Math.sign(loopArea(loop))).sort()).toEqual([-1, 1]);
  });

  it('fill holes in which nothing would lie', () => {
    expect(shadowOutline(SHAPES[0]!, { leastHoleMm2: 10_000 })).toHaveLength(1);
  });
});

const SHAPES: readonly Mesh[] = [ringOf(40, 12, 48, 24), ball(50, 96)];
