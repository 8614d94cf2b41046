import { describe, expect, it } from 'vitest';
import type { MeshPart } from '../../../../../src/geometry/plane-split.ts';
import { box, cylinder, tube } from '../../../../../src/mesh/builders.ts';
import { areaNormals } from '../../../../../src/mesh/measure.ts';
import { type Mesh, meshOf } from '../../../../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../../../../src/mesh/topology.ts';
import { edgeRelief } from '../../../../../src/workshop/pieces/joints/edge-relief.ts';
import { keyedPiece } from '../../../../../src/workshop/pieces/joints/keyed-piece.ts';
import { outerEdges } from '../../../../../src/workshop/pieces/joints/outer-edges.ts';
import { testKernel } from '../../../../support/kernel.ts';

const kernel = await testKernel();

/** The flat end looking down is the mating face of seam 0; all else is the shell. */
function standing(mesh: Mesh): MeshPart {
  const normals = areaNormals(mesh);
  return {
    mesh,
    sourceTri: Int32Array.from({ length: mesh.triangles.length / 3 }, (_, t) =>
      normals[t * 3 + 2]! < -0.99 * Math.hypot(normals[t * 3]!, normals[t * 3 + 1]!, normals[t * 3 + 2]!) ? -1 : t,
    ),
  };
}

const takenOff = (part: MeshPart, reliefMm: number, seen = new Uint8Array(part.sourceTri.length).fill(1)): number => {
  const trims = edgeRelief(part, 0, { seen, reliefMm });
  for (const trim of trims) expect(surfaceCheck(trim)).toMatchObject({ closed: true, manifold: true });
  const made = keyedPiece(part, kernel, { name: 'A', changes: [], trims });
  if (!made.ok) throw new Error(made.why);
  expect(surfaceCheck(made.value.mesh)).toMatchObject({ closed: true, shells: 1 });
  return -made.value.gainedMm3;
};

/** A square pyramid's stump: its side faces lean by the given degrees, wider upward for positive ones. */
function stump(leanDeg: number): Mesh {
  const at = box([-10, -10, 0], [10, 10, 8]);
  const wider = 8 * Math.tan((leanDeg * Math.PI) / 180);
  const positions = at.positions.map((x, i) =>
    i % 3 < 2 && at.positions[i - (i % 3) + 2] === 8 ? x + Math.sign(x) * wider : x,
  );
  return meshOf(positions, at.triangles);
}

describe('edgeRelief', () => {
  it('takes a chamfer of its size off all round a box', () => {
    const r = 0.4;
    // Corners lose (a + b) r2 - 4/3 r3: the stumps of a pyramid.
    expect(takenOff(standing(box([0, 0, 0], [30, 20, 8])), r)).toBeCloseTo(50 * r * r - (4 / 3) * r ** 3, 6);
  });

  it.each([-40, -15, 20, 45])('follows a wall that leans by %d degrees', (lean) => {
    const r = 0.4;
    const tan = Math.tan((lean * Math.PI) / 180);
    const [outer, inner] = [(z: number) => 10 + z * tan, (z: number) => 10 - r + (z * (r + r * tan)) / r];
    let expected = 0;
    const steps = 20_000;
    for (let i = 0; i < steps; i++) {
      const z = (r * (i + 0.5)) / steps;
      expected += ((4 * outer(z) ** 2 - 4 * inner(z) ** 2) * r) / steps;
    }
    expect(takenOff(standing(stump(lean)), r) / expected).toBeCloseTo(1, 3);
  });

  it('goes round a hollow corner: the inner corner of an L', () => {
    const corners = [0, 0, 30, 0, 30, 10, 10, 10, 10, 30, 0, 30];
    const l = standing(prism(corners, 8));
    const r = 0.4;
    // Each of five corners that stand out loses r3 / 3, the hollow one gains as much.
    expect(takenOff(l, r)).toBeCloseTo(120 * 0.5 * r * r - (4 * r ** 3) / 3, 2);
  });

  it('leaves the inner edge of a ring, and everything when there is no outside', () => {
    const part = standing(tube({ outerMm: 40, wallMm: 3, heightMm: 10 }, 180));
    const { positions, triangles } = part.mesh;
    const seen = Uint8Array.from({ length: part.sourceTri.length }, (_, t) => {
      const v = [0, 1, 2].map((c) => triangles[t * 3 + c]! * 3);
      return v.every((at) => Math.hypot(positions[at]!, positions[at + 1]!) > 39) ? 9 : 0;
    });
    const round = 2 * 180 * 40 * Math.sin(Math.PI / 180);
    expect(takenOff(part, 0.4, seen) / (round * 0.08)).toBeCloseTo(1, 1);
    expect(outerEdges(part, 0, { seen: new Uint8Array(seen.length), withinMm: 0.03 })).toEqual([]);
    expect(edgeRelief(part, 0, { seen, reliefMm: 0 })).toEqual([]);
    expect(edgeRelief(part, 1, { seen, reliefMm: 0.4 })).toEqual([]);
  });

  it('takes a round edge in straight runs, and tells which way it turns', () => {
    const edges = outerEdges(standing(cylinder(30, 10, 720)), 0, {
      seen: new Uint8Array(9999).fill(1),
      withinMm: 0.03,
    });
    expect(edges.length).toBeGreaterThan(40);
    expect(edges.length).toBeLessThan(200);
    for (const { turnDeg, leanDeg } of edges) {
      expect(turnDeg[0]).toBeLessThan(0);
      expect(Math.abs(leanDeg)).toBeLessThan(0.5);
    }
  });
});

/** An upright prism over a flat outline, counter-clockwise. */
function prism(outline: readonly number[], heightMm: number): Mesh {
  const count = outline.length / 2;
  const positions: number[] = [];
  for (const z of [0, heightMm])
    for (let i = 0; i < count; i++) positions.push(outline[i * 2]!, outline[i * 2 + 1]!, z);
  const cap = kernel.triangulate([Float64Array.from(outline)], 1e-9);
  const triangles: number[] = [];
  for (let t = 0; t < cap.length; t += 3) {
    triangles.push(cap[t]!, cap[t + 2]!, cap[t + 1]!);
    triangles.push(cap[t]! + count, cap[t + 1]! + count, cap[t + 2]! + count);
  }
  for (let i = 0; i < count; i++) {
    const j = (i + 1) % count;
    triangles.push(i, j, j + count, i, j + count, i + count);
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}
