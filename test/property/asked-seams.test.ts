// What the maker asks of the seams of the Keeper's helm is met, or refused with its reason.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../src/base/work.ts';
import { buildBoundingTree } from '../../src/mesh/bounding-tree.ts';
import { closestPoint } from '../../src/mesh/closest-point.ts';
import { areaNormals } from '../../src/mesh/measure.ts';
import type { Vec3 } from '../../src/mesh/mesh.ts';
import { raycast } from '../../src/mesh/ray.ts';
import { demoModel } from '../../src/workshop/demo/demo.ts';
import { isOver, lineWithin, wornArea } from '../../src/workshop/pieces/asked/asked-areas.ts';
import type { AskedMachine, AskedSeam, ClearArea, SurfacePoint } from '../../src/workshop/process/asked-seams.ts';
import type { PiecesRecord, Seam } from '../../src/workshop/process/pieces-record.ts';
import { expectLaws, type PiecesRun, runPieces } from '../support/pieces/run-pieces.ts';

const helm = demoModel('keepers-helm', { triangles: 50_000 }, QUIET_WORK);
const tree = buildBoundingTree(helm);
const normals = areaNormals(helm);
const LARGE: Vec3 = [220, 220, 250];
const SMALL: Vec3 = [180, 180, 180];

/** The place of the surface nearest to a point. */
function nearest(to: Vec3): SurfacePoint {
  const { atMm, tri } = closestPoint(tree, to)!;
  const n = [normals[tri * 3]!, normals[tri * 3 + 1]!, normals[tri * 3 + 2]!] as const;
  const length = Math.hypot(...n);
  return { atMm: [...atMm], normal: [n[0] / length, n[1] / length, n[2] / length] };
}

/** What is met first on the way from outside. */
function seenFrom(origin: Vec3, way: Vec3): SurfacePoint {
  const { t } = raycast(tree, origin, way)!;
  return nearest([origin[0] + t * way[0], origin[1] + t * way[1], origin[2] + t * way[2]]);
}

const held = (name: string, at: SurfacePoint, normal: [number, number, number]): AskedSeam => ({
  name,
  points: [at],
  normal,
  within: [],
});
const BROW = held('Brow', seenFrom([0, -400, 165], [0, 1, 0]), [0, 0, 1]);
const EARS = held('Ears', seenFrom([400, 19, 60], [-1, 0, 0]), [0, 1, 0]);
const NAPE = held('Nape', seenFrom([0, 400, 70], [0, -1, 0]), [0, 0.1, 1]);
const SEAMS = [BROW, EARS, NAPE];

function divide(asked: NonNullable<PiecesRun['asked']>, beds: readonly Vec3[] = [LARGE]) {
  return runPieces(helm, { bedMm: beds[0]!, furtherBeds: beds.slice(1), asked });
}

function recordOf(asked: NonNullable<PiecesRun['asked']>, beds?: readonly Vec3[]): PiecesRecord {
  const { outcome } = divide(asked, beds);
  if (!outcome.ok) throw new Error(`${outcome.code}: ${outcome.why}`);
  expect(outcome.findings.filter(({ code }) => code === 'MARK_OFF')).toEqual([]);
  return outcome.value;
}

/** A patch of 44 mm about the middle of the longest line of a seam. */
function areaOn({ lines }: Seam): ClearArea {
  const { points } = lines.reduce((one, other) => (other.points.length > one.points.length ? other : one));
  const at = Math.floor(points.length / 6) * 3;
  const middle = nearest([points[at]!, points[at + 1]!, points[at + 2]!]);
  const [x, y, z] = middle.normal;
  const u: Vec3 = Math.abs(z) < 0.9 ? [-y, x, 0] : [0, -z, y];
  const length = Math.hypot(...u);
  const [a, b, c] = [u[0] / length, u[1] / length, u[2] / length];
  const v: Vec3 = [y * c - z * b, z * a - x * c, x * b - y * a];
  const outline = Array.from({ length: 12 }, (_, i): SurfacePoint => {
    const [cos, sin] = [22 * Math.cos((i * Math.PI) / 6), 22 * Math.sin((i * Math.PI) / 6)];
    return nearest([
      middle.atMm[0] + cos * a + sin * v[0] + 2 * x,
      middle.atMm[1] + cos * b + sin * v[1] + 2 * y,
      middle.atMm[2] + cos * c + sin * v[2] + 2 * z,
    ]);
  });
  return { name: 'Badge', outline };
}

function crossedMm(record: PiecesRecord, clear: ClearArea): number {
  const area = wornArea(clear, 0, 1);
  return record.seams.flatMap(({ lines }) => lines).reduce((sum, { points }) => sum + lineWithin(area, points), 0);
}

describe('what is asked of the seams of the helm', () => {
  const plain = recordOf({ seams: SEAMS });

  it('holds three seams where they are, under their places in the list', () => {
    for (const [index, seam] of SEAMS.entries()) {
      const made = plain.seams.filter(({ asked }) => asked === index);
      expect(made.length).toBeGreaterThan(0);
      for (const { plane } of made) {
        const way = Math.sign(
          plane.normal[0] * seam.normal![0] + plane.normal[1] * seam.normal![1] + plane.normal[2] * seam.normal![2],
        );
        const off = seam.points[0]!.atMm.reduce((sum, v, c) => sum + v * plane.normal[c]!, 0) - plane.offsetMm;
        expect(Math.abs(off)).toBeLessThan(0.11);
        const length = Math.hypot(...seam.normal!);
        for (const c of [0, 1, 2] as const) expect(plane.normal[c] * way).toBeCloseTo(seam.normal![c] / length, 9);
      }
    }
  });

  it('goes round an area that it would cross, prints a piece on the machine asked for, and keeps the seams held', () => {
    const free = plain.seams.filter(({ asked }) => asked === null);
    const longest = free.reduce((one, other) => (other.outerMm > one.outerMm ? other : one));
    const clear = areaOn(longest);
    expect(crossedMm(plain, clear)).toBeGreaterThan(20);
    const first = plain.pieces[0]!;
    const machines: AskedMachine[] = [
      { at: { atMm: [...first.mark.atMm], normal: [...first.mark.normal] }, machine: 'bed 2' },
    ];
    const about = { bedMm: LARGE, furtherBeds: [SMALL], asked: { seams: SEAMS, clear: [clear], machines } };
    const { outcome, meshes } = runPieces(helm, about);
    if (!outcome.ok) throw new Error(`${outcome.code}: ${outcome.why}`);
    const record = outcome.value;
    expect(crossedMm(record, clear)).toBeLessThanOrEqual(0.5);
    expect(new Set(record.seams.map(({ asked }) => asked))).toEqual(new Set([0, 1, 2, null]));
    const own = record.pieces.filter(({ asked }) => asked === 0);
    expect(own).toHaveLength(1);
    expect(new Set(own[0]!.poses.map(({ machine }) => machine))).toEqual(new Set(['bed 2']));
    for (const { sizeMm } of own[0]!.poses)
      expect([sizeMm[0] <= 170, sizeMm[1] <= 170, sizeMm[2] <= 175]).toEqual([true, true, true]);
    expectLaws(helm, { bedMm: LARGE }, { record, meshes });
  });

  it('leaves the letters of pieces and seams as they are when something is asked that is so already', () => {
    const top = seenFrom([0, -400, 240], [0, 1, 0]);
    const far = [-8, 8].flatMap((z) =>
      [-8, 8].map((x) => nearest([top.atMm[0] + x * (z < 0 ? 1 : -1), top.atMm[1], top.atMm[2] + z])),
    );
    const asked = { seams: SEAMS, clear: [{ name: 'Plain', outline: far }] };
    if (crossedMm(plain, asked.clear[0]!) > 0) throw new Error('the area was to be crossed by nothing');
    const again = recordOf(asked);
    const letters = ({ pieces, seams }: PiecesRecord) => [
      pieces.map(({ id, name }) => `${id} ${name}`),
      seams.filter(({ asked: of }) => of !== null).map(({ id, asked: of }) => `${id} ${of}`),
    ];
    expect(letters(again)).toEqual(letters(plain));
  });

  it('refuses a seam that leaves a sliver, and says where beside it none is left', () => {
    const edge = held('Edge', nearest([0, 0, 309.5]), [0, 0, 1]);
    const { outcome } = divide({ seams: [edge] });
    if (outcome.ok) throw new Error('a refusal was expected');
    expect(outcome.code).toBe('PIECES_SEAM_UNMET');
    expect(outcome.why).toMatch(
      /^The first seam asked for leaves a piece of \d+\.\d percent .* at least 1 percent and 8 mm/,
    );
    expect(outcome.where).toMatchObject({ path: 'pieces.asked.seams.0', space: 'model', atMm: edge.points[0]!.atMm });
    expect(outcome.tryThis).toMatch(/away/);
  });

  it('refuses a seam that passes by what an earlier one has left', () => {
    // square to the first, through a point on its far side: nothing of that part lies beyond
    const beside = held('Beside', BROW.points[0]!, [0, 0, 1]);
    const { outcome } = divide({ seams: [BROW, { ...beside, points: [seenFrom([0, -400, 165], [0, 1, 0])] }] });
    expect(outcome).toMatchObject({ ok: false, code: 'PIECES_SEAM_UNMET', where: { path: 'pieces.asked.seams.1' } });
  });

  it('refuses an area round everything, with what crosses it', () => {
    const all = Array.from({ length: 16 }, (_, i): SurfacePoint => {
      const turn = (i * Math.PI) / 8;
      return { ...nearest([160 * Math.cos(turn), 160 * Math.sin(turn), 150]), normal: [0, 0, 1] };
    });
    const clear = { name: 'All', outline: all };
    expect(isOver(wornArea(clear, 0, 1), [0, 0, 300])).toBe(true);
    const { outcome } = runPieces(helm, { bedMm: LARGE, beamWidth: 1, asked: { seams: [BROW, EARS], clear: [clear] } });
    expect(outcome).toMatchObject({ ok: false, code: 'PIECES_CLEAR_UNMET', where: { path: 'pieces.asked.clear.0' } });
    if (!outcome.ok) expect(outcome.why).toMatch(/crosses the first area kept clear, the best one by \d+ mm/);
  });

  it('refuses a machine that the book does not have, and one that leaves too many pieces', () => {
    const at = seenFrom([0, 400, 200], [0, -1, 0]);
    const unknown = divide({ machines: [{ at, machine: 'none such' }] });
    expect(unknown.outcome).toMatchObject({ ok: false, code: 'PIECES_MACHINE_UNMET' });
    const tiny = runPieces(helm, {
      bedMm: LARGE,
      furtherBeds: [[60, 60, 60]],
      mostPieces: 4,
      beamWidth: 1,
      asked: { machines: [{ at, machine: 'bed 2' }] },
    });
    expect(tiny.outcome).toMatchObject({ ok: false, code: 'PIECES_MACHINE_UNMET' });
    if (!tiny.outcome.ok)
      expect(tiny.outcome.why).toMatch(/within 4 pieces: .* \d+ mm long, and the bed of bed 2 leaves 50 x 50 x 55 mm/);
  });
});
