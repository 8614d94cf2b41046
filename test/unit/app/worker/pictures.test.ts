import { describe, expect, it } from 'vitest';
import { decodeFigure, encodeFigure, placeInFigure } from '../../../../src/app/api/figure-codec.ts';
import { drawBook } from '../../../../src/app/worker/draw-book.ts';
import { figureOf } from '../../../../src/app/worker/figure-of.ts';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { uvSphere } from '../../../../src/mesh/builders.ts';
import { memoryMeshStore } from '../../../../src/mesh/memory-mesh-store.ts';
import { numTris } from '../../../../src/mesh/mesh.ts';
import { applyTransform, transformMesh } from '../../../../src/mesh/transform.ts';
import type { BookResults } from '../../../../src/workshop/book/graph.ts';
import type { ChapterWork } from '../../../../src/workshop/process/chapter-work.ts';
import { FROM_FILE, mendedHelm, WORN_SCALE } from '../../../support/mended-helm.ts';
import { fixtureFigure } from '../web/fixture.ts';

const meshes = memoryMeshStore();
const work = { ...QUIET_WORK, seed: 1, meshes } as unknown as ChapterWork;
const { results, asRead, steps } = mendedHelm(meshes);
const refused: BookResults = {
  model: {
    state: 'refused',
    fingerprint: 'm',
    reused: false,
    refusal: { ok: false, code: 'MESH_OPEN', why: 'It is open.', tryThis: 'Close it.' },
  },
  wearer: { state: 'waiting', fingerprint: 'w', on: 'model' },
  pieces: { state: 'waiting', fingerprint: 'p', on: 'model' },
  joints: { state: 'waiting', fingerprint: 'j', on: 'model' },
  printing: { state: 'waiting', fingerprint: 'r', on: 'model' },
  beds: { state: 'waiting', fingerprint: 'b', on: 'model' },
  assembly: { state: 'waiting', fingerprint: 'a', on: 'model' },
  surface: { state: 'waiting', fingerprint: 's', on: 'model' },
};
const source = meshes.put(asRead);

describe('the figure', () => {
  const figure = decodeFigure(figureOf(results, work).buffer);

  it('holds the model as it came, where the mended one stands and as large', () => {
    const came = figure.asRead!;
    expect(came.triangles.length).toBe(asRead.triangles.length);
    const [x, y, z] = asRead.positions;
    const worn = applyTransform(FROM_FILE, [x!, y!, z!]).map((c) => c * WORN_SCALE);
    for (let c = 0; c < 3; c++) expect(came.positions[c]).toBeCloseTo(worn[c]!, 3);
    expect(came.openEdges.length / 6).toBeGreaterThan(20);
  });

  it('numbers what has a place as the list of what was mended does', () => {
    expect(figure.asRead!.marks.map(({ number, name }) => [number, name])).toEqual([
      [2, 'holes filled: 3'],
      [3, 'crossings patched: 8'],
    ]);
    expect(figure.asRead!.marks[0]!.atMm).toEqual(steps[1]!.atMm!.map((c) => c * WORN_SCALE));
  });

  it('leads every point back to the file', () => {
    const [x, y, z] = figure.asRead!.positions;
    const back = applyTransform(figure.toFile!, [x!, y!, z!]);
    for (let c = 0; c < 3; c++) expect(back[c]).toBeCloseTo(asRead.positions[c]!, 3);
  });

  it('leaves it out of book.html, and where nothing was mended', () => {
    expect(decodeFigure(figureOf(results, work, { triangles: 60_000 }).buffer).asRead).toBeNull();
    if (results.model.state !== 'computed') throw new Error();
    const { mended } = results.model.record;
    const sound = { ...results.model.record, mended: { ...mended, steps: [] } };
    const untouched = { ...results, model: { ...results.model, record: sound } };
    expect(decodeFigure(figureOf(untouched, work).buffer).asRead).toBeNull();
  });

  it('shows what could not be made a shell of, on the ground, and leads back to the file', () => {
    expect(figureOf(refused, work)).toHaveLength(0);
    const alone = decodeFigure(figureOf(refused, work, { source }).buffer);
    expect(alone.parts).toHaveLength(0);
    let low = Infinity;
    for (let i = 2; i < alone.asRead!.positions.length; i += 3) low = Math.min(low, alone.asRead!.positions[i]!);
    expect(low).toBeCloseTo(0, 3);
    const back = applyTransform(alone.toFile!, [...alone.asRead!.positions.subarray(0, 3)] as never);
    expect(back[0]).toBeCloseTo(asRead.positions[0]!, 3);
  });

  it('has a coarse level in the same place, in the page only, and none where there is little to leave out', () => {
    if (results.model.state !== 'computed') throw new Error();
    const ball = transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 100], uvSphere(100, 120));
    const model = { ...results.model, record: { ...results.model.record, mesh: meshes.put(ball) } };
    const round: BookResults = { ...refused, model };
    const [part] = decodeFigure(figureOf(round, work).buffer).parts;
    expect(part!.triangles.length / 3).toBe(numTris(ball));
    const { positions, triangles } = part!.coarse!;
    expect(triangles.length / 3).toBeLessThanOrEqual(16_000);
    expect(triangles.length / 3).toBeGreaterThan(15_000);
    for (let v = 0; v < positions.length; v += 3)
      expect(Math.hypot(positions[v]!, positions[v + 1]!, positions[v + 2]! - 100)).toBeCloseTo(100, 0);
    expect(decodeFigure(figureOf(round, work, { triangles: 60_000 }).buffer).parts[0]!.coarse).toBeNull();
    expect(figure.parts[0]!.coarse).toBeNull();
  });

  it('brings places of every space to where they are', () => {
    const point = [12, -34, 56] as const;
    const worn = applyTransform(FROM_FILE, point).map((c) => c * WORN_SCALE);
    const inFile = placeInFigure(figure, { space: 'file', atMm: point })!;
    for (let c = 0; c < 3; c++) expect(inFile[c]).toBeCloseTo(worn[c]!, 9);
    expect(placeInFigure(figure, { space: 'model', atMm: point })).toEqual(point.map((c) => c * WORN_SCALE));
    expect(placeInFigure(figure, { space: 'worn', atMm: point })).toEqual([...point]);
    for (const where of [{ space: 'laid' as const, atMm: point }, { atMm: point }, { space: 'worn' as const }])
      expect(placeInFigure(figure, where)).toBeNull();
    const alone = decodeFigure(figureOf(refused, work, { source }).buffer);
    expect(placeInFigure(alone, { space: 'worn', atMm: point })).toBeNull();
    const lowest = asRead.positions.reduce((low, z, i) => (i % 3 === 2 ? Math.min(low, z) : low), Infinity);
    expect(placeInFigure(alone, { space: 'file', atMm: [0, 0, lowest] })![2]).toBeCloseTo(0, 9);
  });

  it('comes back from its bytes', () => {
    for (const each of [fixtureFigure(0.3), figure]) expect(decodeFigure(encodeFigure(each).buffer)).toEqual(each);
  });
});

describe('the drawings', () => {
  it('set the model as it came beside its result, its rims in red', () => {
    const drawings = drawBook(results, work);
    expect(Object.keys(drawings)).toEqual(['as-read', 'thumb', 'whole']);
    const rims = (svg: string | undefined): boolean => svg?.includes('class="rim"') === true;
    expect(rims(drawings['as-read'])).toBe(true);
    expect(rims(drawings.whole)).toBe(false);
  });

  it('are of the model as it came where no shell could be made of it', () => {
    expect(drawBook(refused, work)).toEqual({});
    expect(Object.keys(drawBook(refused, work, { source }))).toEqual(['thumb', 'as-read']);
  });
});
