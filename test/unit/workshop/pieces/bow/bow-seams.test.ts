// Seams that leave their plane, on a bowl whose groove is known by formula.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../../src/base/work.ts';
import type { Plane } from '../../../../../src/geometry/plane.ts';
import { bounds, volume } from '../../../../../src/mesh/measure.ts';
import { type Mesh, NONE, type Vec3 } from '../../../../../src/mesh/mesh.ts';
import { NOTHING_ASKED } from '../../../../../src/workshop/pieces/asked/asked-at-size.ts';
import { bowSeams, type FinishedDivision } from '../../../../../src/workshop/pieces/bow/bow-seams.ts';
import type { CutPart } from '../../../../../src/workshop/pieces/cut/exact-division.ts';
import { seamFaces } from '../../../../../src/workshop/pieces/cut/seam-faces.ts';
import { PiecesSettings } from '../../../../../src/workshop/pieces/pieces-settings.ts';
import { testKernel } from '../../../../support/kernel.ts';
import { collisionSweep } from '../../../../support/pieces/collision-sweep.ts';
import { cutByPlanes, wholeOf } from '../../../../support/pieces/cut-by-planes.ts';
import { GROOVE, type GroovedBowl, groovedBowl } from '../../../../support/pieces/grooved-bowl.ts';
import { numBadEdges } from '../../../../support/section-shapes.ts';

const kernel = await testKernel();
const work = {
  ...QUIET_WORK,
  solid: kernel,
  meshes: {
    get: (): Mesh => {
      throw new Error('no mesh is asked for');
    },
    put: () => '',
  },
};
/** Heights are compared degree by degree, which is 1.7 mm along the seam, rising by at most three quarters of it. */
const ANGLE_MM = 1.3;
/** Prices are told triangle by triangle, which reach a little over the groove's edge. */
const EDGE_MM = 0.5;
const LEVEL: Plane = { normal: [0, 0, 1], offsetMm: 56.3 };
const UPRIGHT: Plane = { normal: [0, 1, 0], offsetMm: 0.37 };

/** Cut level, and the lower half upright. */
const flatDivision = (mesh: Mesh): FinishedDivision => cutByPlanes(mesh, { plane: LEVEL, below: { plane: UPRIGHT } });

function bowed(bowl: GroovedBowl, by: { mostBowMm?: number; bedMm?: Vec3; held?: Plane; price?: Float32Array } = {}) {
  const settings = {
    ...PiecesSettings.parse({
      mostBowMm: by.mostBowMm ?? 12,
      beds: [{ id: 'bed', bedMm: by.bedMm ?? [300, 300, 300] }],
    }),
    demands: {
      ...NOTHING_ASKED,
      seams:
        by.held === undefined ? [] : [{ index: 0, plane: by.held, within: [], firstMm: [0, 0, 0] as Vec3, tri: 0 }],
    },
    scale: 1,
  };
  const flat = flatDivision(bowl.mesh);
  const shell = { isOuter: bowl.isOuter, price: by.price ?? bowl.price };
  const made = bowSeams(wholeOf(bowl.mesh), flat, { shell, mirrorX: null, settings, work });
  if (!made.ok) throw new Error(made.why);
  return { flat, made: made.value, isBowed: made.value !== flat };
}

function costOf({ parts }: FinishedDivision, { isOuter, price }: GroovedBowl): number {
  let twice = 0;
  for (const { part } of parts) {
    const { positions: p, triangles: t } = part.mesh;
    const onFace = new Set<string>();
    for (let tri = 0; tri < part.sourceTri.length; tri++)
      if (part.sourceTri[tri]! <= NONE)
        for (let c = 0; c < 3; c++) onFace.add(`${t[tri * 3 + c]} ${t[tri * 3 + ((c + 1) % 3)]}`);
    for (let tri = 0; tri < part.sourceTri.length; tri++) {
      const source = part.sourceTri[tri]!;
      if (source <= NONE || isOuter[source] === 0) continue;
      for (let c = 0; c < 3; c++) {
        const [a, b] = [t[tri * 3 + c]!, t[tri * 3 + ((c + 1) % 3)]!];
        if (!onFace.has(`${b} ${a}`)) continue;
        twice += price[source]! * Math.hypot(...[0, 1, 2].map((k) => p[a * 3 + k]! - p[b * 3 + k]!));
      }
    }
  }
  return twice / 2;
}

describe('a bowl with a groove that waves 6 mm about the plane', () => {
  const bowl = groovedBowl();
  const { flat, made } = bowed(bowl);

  it('follows the groove within the width of it, but where the seam must end in its plane', () => {
    const faces = seamFaces(made.parts, made.cuts, bowl.isOuter);
    const level = faces.seams.filter(({ cut }) => cut === 0);
    expect(Math.max(...level.map(({ bowMm }) => bowMm))).toBeGreaterThan(GROOVE.waveMm - GROOVE.halfMm);
    let off = 0;
    let num = 0;
    for (const { outlines } of level) {
      for (const outline of outlines) {
        for (let i = 0; i < outline.length; i += 3) {
          const [x, y, z] = [outline[i]!, outline[i + 1]!, outline[i + 2]!];
          if (Math.hypot(x, y) < 98) continue;
          off += Math.abs(z - bowl.grooveMm(Math.atan2(y, x))) < GROOVE.halfMm + EDGE_MM ? 0 : 1;
          num++;
        }
      }
    }
    expect(num).toBeGreaterThan(300);
    expect(off / num).toBeLessThan(0.05);
  });

  it('costs less than a quarter of the flat seam; the upright one has nothing to follow and stays flat', () => {
    const upright = 2 * 56.3;
    expect(costOf(made, bowl) - upright).toBeLessThan(0.25 * (costOf(flat, bowl) - upright));
    const faces = seamFaces(made.parts, made.cuts, bowl.isOuter);
    for (const seam of faces.seams) if (seam.cut === 1) expect(seam.bowMm).toBe(0);
  });

  it('closed pieces that sum to the bowl, same paths and planes', () => {
    expect(made.parts.map(({ path }) => path)).toEqual(flat.parts.map(({ path }) => path));
    expect(made.cuts).toBe(flat.cuts);
    for (const { part } of made.parts) expect(numBadEdges(part.mesh)).toBe(0);
    const sum = made.parts.reduce((total, { part }) => total + volume(part.mesh), 0);
    expect(Math.abs(sum / volume(bowl.mesh) - 1)).toBeLessThan(1e-9);
  });

  it('every seam face is shared wholly by two pieces', () => {
    const faces = seamFaces(made.parts, made.cuts, bowl.isOuter);
    const shared = faces.seams.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
    const own = made.parts.reduce((sum, { part }) => sum + cutArea(part), 0);
    expect(Math.abs(2 * shared - own) / own).toBeLessThan(1e-6);
    expect(faces.seams.map(({ below, above }) => `${below}-${above}`).sort()).toEqual(['0-1', '0-1', '0-2', '1-2']);
  });

  it('comes apart upward without touching, and is caught sideways and downward', () => {
    const [one, other, upper] = made.parts.map(({ part }) => part.mesh) as [Mesh, Mesh, Mesh];
    for (const lower of [one, other]) {
      expect(collisionSweep(lower, upper, [0, 0, 1])).toEqual([]);
      expect(collisionSweep(lower, upper, [0, 0, -1], [1, 4])).toEqual([1, 4]);
      expect(collisionSweep(lower, upper, [0.6, 0.8, 0], [4])).toEqual([4]);
    }
    expect(collisionSweep(one, other, [0, 1, 0])).toEqual([]);
  });

  it('gives the same again', () => {
    const again = bowed(bowl).made;
    const bytes = ({ parts }: FinishedDivision) => parts.map(({ part }) => Buffer.from(part.mesh.positions.buffer));
    bytes(again).forEach((one, i) => {
      expect(one.equals(bytes(made)[i]!)).toBe(true);
    });
  });
});

describe('the same bowl, mirrored, cut in its middle and each half level', () => {
  const bowl = groovedBowl();
  const flat = cutByPlanes(bowl.mesh, {
    plane: { normal: [1, 0, 0], offsetMm: 0.013 },
    below: { plane: LEVEL },
    above: { plane: LEVEL },
  });
  const settings = {
    ...PiecesSettings.parse({ beds: [{ id: 'bed', bedMm: [300, 300, 300] }] }),
    demands: NOTHING_ASKED,
    scale: 1,
  };
  const outcome = bowSeams(wholeOf(bowl.mesh), flat, { shell: bowl, mirrorX: 0.013, settings, work });
  if (!outcome.ok) throw new Error(outcome.why);
  const made = outcome.value;

  it('bows both halves as images of each other', () => {
    const heights = (side: 1 | -1): Map<number, number> => {
      const out = new Map<number, number>();
      for (const { cut, outlines } of seamFaces(made.parts, made.cuts, bowl.isOuter).seams) {
        if (cut === 0) continue;
        for (const outline of outlines) {
          for (let i = 0; i < outline.length; i += 3) {
            const [x, y, z] = [outline[i]! * side, outline[i + 1]!, outline[i + 2]!];
            if (x > 1 && Math.hypot(x, y) > 98) out.set(Math.round((Math.atan2(y, x) * 180) / Math.PI), z);
          }
        }
      }
      return out;
    };
    const [right, left] = [heights(1), heights(-1)];
    expect(right.size).toBeGreaterThan(150);
    expect(Math.max(...right.values()) - LEVEL.offsetMm).toBeGreaterThan(3);
    for (const [angle, z] of right) if (left.has(angle)) expect(Math.abs(z - left.get(angle)!)).toBeLessThan(ANGLE_MM);
  });

  it('ends flat on the middle face, so that all four pieces meet in one line', () => {
    const { seams } = seamFaces(made.parts, made.cuts, bowl.isOuter);
    const middle = seams.filter(({ cut }) => cut === 0);
    expect(middle.map(({ bowMm }) => bowMm)).toEqual([0, 0, 0, 0]);
    for (const { outlines } of middle) {
      const off = outlines.flatMap((outline) =>
        [...outline].flatMap((z, i) => (i % 3 === 2 ? [z - LEVEL.offsetMm] : [])),
      );
      expect(Math.min(...off.map(Math.abs))).toBeLessThan(1e-5);
      expect(Math.max(...off) > 1 && Math.min(...off) < -1).toBe(false);
    }
  });
});

describe('what holds a seam in its plane', () => {
  const bowl = groovedBowl();

  it('nothing to gain', () => {
    const even = { ...bowl, price: bowl.price.map((one) => (one > 0 ? 1 : 0)) };
    expect(bowed(even).isBowed).toBe(false);
  });

  it('a bow of 0 allowed', () => {
    expect(bowed(bowl, { mostBowMm: 0 }).isBowed).toBe(false);
  });

  it('a seam that was asked for there', () => {
    expect(bowed(bowl, { held: LEVEL }).isBowed).toBe(false);
  });

  it('pieces that would fit no bed', () => {
    expect(bowed(bowl, { bedMm: [100, 100, 100] }).isBowed).toBe(false);
  });

  it('a piece that would grow too tall, on that side alone', () => {
    // in the plane the upper piece is 63.7 mm tall, and 65 fit: it may not follow the groove down by 6, the lower ones may grow
    const { made, isBowed } = bowed(bowl, { bedMm: [300, 300, 70] });
    expect(isBowed).toBe(true);
    const [lower, , upper] = made.parts
      .map(({ part }) => bounds(part.mesh))
      .map(({ minMm, maxMm }) => maxMm[2] - minMm[2]);
    expect(upper).toBeCloseTo(120 - 56.3, 1);
    expect(lower).toBeGreaterThan(60);
  });

  it('a place kept clear within reach', () => {
    const clear = bowl.price.map((one, tri) => (bowl.isOuter[tri] === 1 && isClear(bowl.mesh, tri) ? 25 : one));
    const { made, isBowed } = bowed(bowl, { price: clear });
    expect(isBowed).toBe(true);
    const faces = seamFaces(made.parts, made.cuts, bowl.isOuter);
    for (const { outlines, cut } of faces.seams) {
      for (const outline of cut === 0 ? outlines : [])
        for (let i = 0; i < outline.length; i += 3) {
          if (outline[i]! < 90 || Math.abs(outline[i + 1]!) > 30) continue;
          expect(outline[i + 2]!).toBeLessThan(59.1);
        }
    }
  });
});

/** A belt at the front from about 58 mm up, across the groove. */
function isClear({ positions: p, triangles: t }: Mesh, tri: number): boolean {
  const at = [0, 1, 2].map((k) => [0, 1, 2].reduce((sum, c) => sum + p[t[tri * 3 + c]! * 3 + k]!, 0) / 3);
  return at[0]! > 0 && Math.abs(at[1]!) < 40 && at[2]! > 58;
}

function cutArea({ mesh, sourceTri }: CutPart['part']): number {
  const { positions: p, triangles: t } = mesh;
  let area = 0;
  for (let tri = 0; tri < sourceTri.length; tri++) {
    if (sourceTri[tri]! > NONE) continue;
    const [a, b, c] = [0, 1, 2].map((k) => [...p.subarray(t[tri * 3 + k]! * 3, t[tri * 3 + k]! * 3 + 3)]) as [
      number[],
      number[],
      number[],
    ];
    const u = a.map((value, k) => b[k]! - value);
    const v = a.map((value, k) => c[k]! - value);
    area += Math.hypot(u[1]! * v[2]! - u[2]! * v[1]!, u[2]! * v[0]! - u[0]! * v[2]!, u[0]! * v[1]! - u[1]! * v[0]!) / 2;
  }
  return area;
}
