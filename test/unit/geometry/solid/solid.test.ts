import { describe, expect, it } from 'vitest';
import { callKernel, KERNEL_LIMIT_MB, memoryEstimateMb } from '../../../../src/geometry/solid/solid.ts';
import { testKernel } from '../../../support/kernel.ts';
import { numBadEdges, volumeOf } from '../../../support/section-shapes.ts';

const kernel = await testKernel();
const square = Float64Array.of(0, 0, 5, 0, 10, 0, 10, 10, 0, 10);

describe('callKernel', () => {
  it('passes the value on', () => {
    expect(callKernel(12, () => 7)).toMatchObject({ ok: true, value: 7 });
  });
  it('turns what the kernel throws into a refusal', () => {
    const answer = callKernel(12, () => {
      throw new RangeError('memory access out of bounds');
    });
    expect(answer).toMatchObject({ ok: false, code: 'SOLID_FAILED' });
    expect(!answer.ok && answer.why).toContain('memory access out of bounds');
  });
  it('refuses by estimate, without calling', () => {
    let called = 0;
    const answer = callKernel(10_000_000, () => called++);
    expect(answer).toMatchObject({ ok: false, code: 'SOLID_TOO_LARGE' });
    expect(!answer.ok && answer.why).toContain(String(KERNEL_LIMIT_MB));
    expect(called).toBe(0);
  });
  it('lets two million triangles through', () => {
    expect(memoryEstimateMb(2_000_000)).toBeLessThan(KERNEL_LIMIT_MB);
  });
});

describe('triangulate', () => {
  it('keeps vertices that lie on a straight edge', () => {
    const triangles = kernel.triangulate([square], 1e-9);
    expect(triangles.length / 3).toBe(3);
    expect(new Set(triangles)).toEqual(new Set([0, 1, 2, 3, 4]));
  });
  it('cuts a hole out', () => {
    const hole = Float64Array.of(2, 2, 2, 4, 4, 4, 4, 2);
    const flat = [...square, ...hole];
    const triangles = kernel.triangulate([square, hole], 1e-9);
    let twice = 0;
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = [triangles[t]! * 2, triangles[t + 1]! * 2, triangles[t + 2]! * 2];
      twice +=
        (flat[b]! - flat[a]!) * (flat[c + 1]! - flat[a + 1]!) - (flat[c]! - flat[a]!) * (flat[b + 1]! - flat[a + 1]!);
    }
    expect(twice / 2).toBeCloseTo(96, 9);
  });
});

describe('hull', () => {
  it('is closed, and its positions are single precision', () => {
    const corners: number[] = [];
    for (let v = 0; v < 8; v++) corners.push((v & 1) * 0.1, ((v >> 1) & 1) * 0.2, (v >> 2) * 0.3);
    const hull = kernel.hull(Float64Array.from([...corners, 0.05, 0.1, 0.15]));
    expect(numBadEdges(hull)).toBe(0);
    expect(volumeOf(hull)).toBeCloseTo(0.006, 8);
    expect([...hull.positions].every((value) => value === Math.fround(value))).toBe(true);
  });
});
