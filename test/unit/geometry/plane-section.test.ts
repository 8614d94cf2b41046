import { describe, expect, it } from 'vitest';
import { Cancelled, QUIET_WORK } from '../../../src/base/work.ts';
import { layerContours } from '../../../src/geometry/layer-sweep.ts';
import { measureSection, planeSections, sectionByPlane } from '../../../src/geometry/plane-section.ts';
import { CrossingTable, chainLoops, loopLength, twiceLoopArea } from '../../../src/geometry/section-loops.ts';
import { type Mesh, meshOf, type Vec3 } from '../../../src/mesh/mesh.ts';
import { ball, box, insideOut, ring, together, turned } from '../../support/section-shapes.ts';

const UP: Vec3 = [0, 0, 1];
const around = 48;
const ngonArea = (r: number): number => 0.5 * around * r * r * Math.sin((2 * Math.PI) / around);
const ngonLength = (r: number): number => 2 * around * r * Math.sin(Math.PI / around);
const cylinder = turned(
  [
    [0, 0],
    [7, 0],
    [7, 20],
    [0, 20],
  ],
  around,
);
const cone = turned(
  [
    [0, 0],
    [10, 0],
    [0, 20],
  ],
  around,
);
const hollow = together(ball(20, around), insideOut(ball(10, around)));
const base = box([1000, 2000, 3000], [1010, 2020, 3030]);

const cases: { name: string; mesh: Mesh; normal: Vec3; at: number; area: number; length: number; loops: number }[] = [
  { name: 'box across z', mesh: base, normal: UP, at: 3001, area: 200, length: 60, loops: 1 },
  { name: 'box across x', mesh: base, normal: [1, 0, 0], at: 1004, area: 600, length: 100, loops: 1 },
  { name: 'box across -y', mesh: base, normal: [0, -1, 0], at: -2001, area: 300, length: 80, loops: 1 },
  { name: 'box missed', mesh: base, normal: UP, at: 2999, area: 0, length: 0, loops: 0 },
  { name: 'box turned inside out', mesh: insideOut(base), normal: UP, at: 3001, area: -200, length: 60, loops: 1 },
  { name: 'cylinder', mesh: cylinder, normal: UP, at: 3.3, area: ngonArea(7), length: ngonLength(7), loops: 1 },
  { name: 'cone at half height', mesh: cone, normal: UP, at: 10, area: ngonArea(5), length: ngonLength(5), loops: 1 },
  {
    name: 'torus at its middle',
    mesh: ring(30, 10, around, 24),
    normal: UP,
    at: 0,
    area: ngonArea(40) - ngonArea(20),
    length: ngonLength(40) + ngonLength(20),
    loops: 2,
  },
  {
    name: 'ball with a hollow',
    mesh: hollow,
    normal: UP,
    at: 0,
    area: ngonArea(20) - ngonArea(10),
    length: ngonLength(20) + ngonLength(10),
    loops: 2,
  },
];

describe('sectionByPlane', () => {
  it.each(cases)('$name: area, length and loops of the closed form', ({ mesh, normal, at, area, length, loops }) => {
    const plane = { normal, offsetMm: at };
    const section = sectionByPlane(mesh, plane);
    expect(section.areaMm2).toBeCloseTo(area, 8);
    expect(section.lengthMm).toBeCloseTo(length, 8);
    expect(section.loops.length).toBe(loops);
    expect(measureSection(mesh, plane).areaMm2).toBe(section.areaMm2);
  });

  it('draws outer contours counter-clockwise and holes clockwise, in the plane and in space alike', () => {
    const section = sectionByPlane(hollow, { normal: [0, 1, 0], offsetMm: 0.3 });
    const areas = section.loops.map((loop) => twiceLoopArea(loop) / 2);
    expect(areas.filter((area) => area > 0).length).toBe(1);
    expect(areas.filter((area) => area < 0).length).toBe(1);
    expect(areas.reduce((sum, area) => sum + area, 0)).toBeCloseTo(section.areaMm2, 9);
    const inSpace = section.outlines.reduce((sum, outline) => sum + loopLength(outline, 3), 0);
    expect(inSpace).toBeCloseTo(section.lengthMm, 9);
    for (const outline of section.outlines)
      for (let i = 1; i < outline.length; i += 3) expect(outline[i]).toBeCloseTo(0.3, 12);
  });

  it('counts a vertex on the plane as above it: a box is cut at its lower face but not at its upper', () => {
    expect(sectionByPlane(base, { normal: UP, offsetMm: 3000 }).numSegments).toBe(0);
    expect(sectionByPlane(base, { normal: UP, offsetMm: 3030 }).areaMm2).toBe(200);
  });

  it('breaks its law on an open surface', () => {
    const open = meshOf(base.positions, base.triangles.slice(12));
    expect(() => sectionByPlane(open, { normal: [1, 0, 0], offsetMm: 1005 })).toThrow('closes');
  });
});

describe('planeSections', () => {
  it.each(cases)('$name: every layer equals its own section', ({ mesh, normal, at }) => {
    const layers = planeSections(mesh, { firstMm: at - 4.7, stepMm: 0.9, normal });
    for (let k = 0; k < layers.numLayers; k++) {
      const section = sectionByPlane(mesh, { normal, offsetMm: layers.heightsMm[k]! });
      expect(layers.areaMm2[k]).toBeCloseTo(section.areaMm2, 8);
      expect(layers.lengthMm[k]).toBeCloseTo(section.lengthMm, 8);
      expect(layers.numSegments[k]).toBe(section.numSegments);
      expect(layers.numLoops[k]).toBe(section.loops.length);
    }
  });

  it('ends with the last plane that meets the mesh, unless told how many', () => {
    expect(planeSections(cylinder, { firstMm: 0.5, stepMm: 1 }).numLayers).toBe(20);
    expect(planeSections(cylinder, { firstMm: 0, stepMm: 1 }).numLayers).toBe(21);
    expect(planeSections(cylinder, { firstMm: 30, stepMm: 1 }).numLayers).toBe(0);
    const three = planeSections(cylinder, { firstMm: 18.5, stepMm: 1, numLayers: 3 });
    expect([...three.numLoops]).toEqual([1, 1, 0]);
    expect(planeSections(meshOf(new Float64Array(), new Uint32Array()), { firstMm: 0, stepMm: 1 }).numLayers).toBe(0);
  });

  it('follows the half-open rule where vertices lie on planes: sums of exact heights', () => {
    const layers = planeSections(base, { firstMm: 3000, stepMm: 10 });
    expect([...layers.areaMm2]).toEqual([0, 200, 200, 200]);
  });

  it('says how far it is and can be cancelled', () => {
    const seen: number[] = [];
    planeSections(hollow, { firstMm: -20, stepMm: 0.1 }, { ...QUIET_WORK, tick: (fraction) => seen.push(fraction) });
    expect(seen.length).toBeGreaterThan(10);
    expect(seen).toEqual([...seen].sort((a, b) => a - b));
    const stop = (): never => {
      throw new Cancelled();
    };
    expect(() => planeSections(hollow, { firstMm: 0, stepMm: 1 }, { ...QUIET_WORK, tick: stop })).toThrow(Cancelled);
  });
});

describe('layerContours', () => {
  it.each(cases)('$name: contours give the measured area, length and loops', ({ mesh, normal, at }) => {
    const options = { firstMm: at - 4.7, stepMm: 0.9, normal };
    const layers = planeSections(mesh, options);
    for (const { layer, points, loopStart } of layerContours(mesh, options)) {
      expect(loopStart.length - 1).toBe(layers.numLoops[layer]);
      let area = 0;
      let length = 0;
      for (let i = 0; i + 1 < loopStart.length; i++) {
        const loop = points.subarray(loopStart[i]! * 2, loopStart[i + 1]! * 2);
        area += twiceLoopArea(loop) / 2;
        length += loopLength(loop, 2);
      }
      expect(area).toBeCloseTo(layers.areaMm2[layer]!, 8);
      expect(length).toBeCloseTo(layers.lengthMm[layer]!, 8);
    }
  });

  it('without a normal draws in x and y as they are', () => {
    const [first] = [...layerContours(base, { firstMm: 3001, stepMm: 100 })];
    const xs = [...first!.points].filter((_, i) => i % 2 === 0);
    const ys = [...first!.points].filter((_, i) => i % 2 === 1);
    expect([Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)]).toEqual([1000, 1010, 2000, 2020]);
  });

  it('gives the same planeFrame coordinates as sectionByPlane', () => {
    const normal: Vec3 = [0.6, 0, 0.8];
    const [first] = [...layerContours(hollow, { firstMm: 1.5, stepMm: 100, normal })];
    const section = sectionByPlane(hollow, { normal, offsetMm: 1.5 });
    const sorted = (points: Iterable<number>): number[] => [...points].sort((a, b) => a - b);
    const drawn = sorted(first!.points);
    sorted(section.loops.flatMap((loop) => [...loop])).forEach((value, i) => {
      expect(drawn[i]).toBeCloseTo(value, 9);
    });
  });
});

describe('chainLoops', () => {
  it('pairs the four triangles at a doubly used edge and still closes', () => {
    const chain = chainLoops(Uint32Array.of(0, 1, 0, 2), Uint32Array.of(1, 0, 2, 0), 3);
    expect(chain?.order.length).toBe(4);
  });
  it('gives null when the surface is open', () => {
    expect(chainLoops(Uint32Array.of(0, 1), Uint32Array.of(1, 2), 3)).toBeNull();
  });
  it('keeps handles apart when cleared and when it grows', () => {
    const table = new CrossingTable();
    table.clear(5000);
    for (let i = 0; i < 5000; i++) expect(table.handle(i, i + 1)).toBe(i);
    for (let i = 0; i < 5000; i++) expect(table.handle(i, i + 1)).toBe(i);
    table.clear(10);
    expect(table.handle(7, 8)).toBe(0);
  });
});
