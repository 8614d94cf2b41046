// What is drawn on the maps of the surface: hatching the closer the smaller the tool, walls that could soften, rings without what is held.
import { describe, expect, it } from 'vitest';
import { fillingLines, ringLines } from '../../../../src/app/worker/draw-surface.ts';
import { reachLines, softMarks, warmLines } from '../../../../src/app/worker/reach-lines.ts';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { box, uvSphere } from '../../../../src/mesh/builders.ts';
import { memoryMeshStore } from '../../../../src/mesh/memory-mesh-store.ts';
import { type Mesh, numTris } from '../../../../src/mesh/mesh.ts';
import { IDENTITY, transformMesh } from '../../../../src/mesh/transform.ts';
import type { ChapterWork } from '../../../../src/workshop/process/chapter-work.ts';

/** Tops of a plate 100 mm square, 10,000 mm2. */
const plate = box([0, 0, -2], [100, 100, 0]);
const tops = (mesh: Mesh): Uint8Array =>
  Uint8Array.from({ length: numTris(mesh) }, (_, t) =>
    [0, 1, 2].every((i) => mesh.positions[mesh.triangles[t * 3 + i]! * 3 + 2] === 0) ? 1 : 0,
  );
const lengthOf = (lines: readonly Float32Array[]): number =>
  lines.reduce((sum, line) => {
    for (let i = 3; i < line.length; i += 3)
      sum += Math.hypot(line[i]! - line[i - 3]!, line[i + 1]! - line[i - 2]!, line[i + 2]! - line[i - 1]!);
    return sum;
  }, 0);

describe('lines of reach', () => {
  it('lie the closer the smaller the tool is, and none where the sander gets, or inside', () => {
    const lengths = [0, 1, 2, 3, 4, 5].map((tool) =>
      lengthOf(
        reachLines(
          plate,
          tops(plate).map((top) => top * tool),
        ),
      ),
    );
    expect(lengths[0]).toBe(0);
    expect(lengths[5]).toBe(0);
    for (let tool = 1; tool < 4; tool++) expect(lengths[tool]!).toBeGreaterThan(1.4 * lengths[tool + 1]!);
    // planes 1.6 mm apart cross a level face sin(angle between the normals) as far apart
    const sine = Math.hypot(0.45, 0.25) / Math.hypot(0.45, 0.25, 0.86);
    expect((lengths[1]! * 1.6) / sine / 10_000).toBeCloseTo(1, 1);
  });
});

describe('walls that could soften', () => {
  it('are marked on the shell from all places', () => {
    const soft = [Uint32Array.of(1, 4), Uint32Array.of(2)].map((triangles) => ({
      areaMm2: 1,
      thinnestMm: 1,
      atMm: [0, 0, 0] as const,
      triangles,
    }));
    expect([...softMarks({ perTri: new Uint8Array(6), soft })]).toEqual([0, 1, 1, 0, 1, 0]);
  });

  it('are outlined once round, and crossed two ways', () => {
    const { outlines, crossed } = warmLines(plate, tops(plate));
    expect(outlines.length).toBe(1);
    expect(lengthOf(outlines)).toBeCloseTo(400, 3);
    const ways = crossed.map((line) => Math.atan2(line[4]! - line[1]!, line[3]! - line[0]!));
    expect(Math.max(...ways.map(Math.abs)) - Math.min(...ways.map(Math.abs))).toBeGreaterThan(0.3);
    expect(warmLines(plate, new Uint8Array(12))).toEqual({ outlines: [], crossed: [] });
  });
});

describe('rings and filling', () => {
  const meshes = memoryMeshStore();
  const work = { ...QUIET_WORK, seed: 1, meshes } as unknown as ChapterWork;
  const ball = transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 60], uvSphere(50, 48));
  const piece = { id: 'A', mesh: meshes.put(ball), sourceTri: Int32Array.from({ length: numTris(ball) }, (_, t) => t) };
  const one = { piece, toModel: IDENTITY };
  const of = { seen: new Uint8Array(numTris(ball)).fill(255), overhangLimitDeg: 45 };
  const heights = (lines: readonly Float32Array[]): number[] =>
    lines.flatMap((line) => [...line].filter((_, i) => i % 3 === 2));

  it('share a ball: rings above, where nothing is held, filling below', () => {
    const rings = heights(ringLines(one, of, work));
    const filling = heights(fillingLines(one, of, 60, work));
    expect(Math.min(...rings)).toBeGreaterThan(60 + 30);
    expect(Math.max(...rings)).toBeGreaterThan(60 + 48);
    expect(Math.max(...filling)).toBeLessThan(60 - 30);
    expect(Math.min(...filling)).toBeLessThan(60 - 48);
  });

  it('leave out what nobody sees', () => {
    const unseen = { ...of, seen: new Uint8Array(numTris(ball)) };
    expect(ringLines(one, unseen, work)).toEqual([]);
    expect(fillingLines(one, unseen, 60, work)).toEqual([]);
  });
});
