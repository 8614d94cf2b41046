// Pieces of two helms on two machines: none overlaps another nor comes nearer than the gap, by triangles of their true shadows; fewer beds than shelves take.
import { describe, expect, it } from 'vitest';
import { LAYING_CELL_MM, type LayableOutline, layableOutline, packBed } from '../../src/geometry/bed-packing.ts';
import { shadowOutline } from '../../src/geometry/shadow-outline.ts';
import { bounds, sizeOf } from '../../src/mesh/measure.ts';
import { computeBeds } from '../../src/workshop/beds/beds.ts';
import { ordinaryMachine } from '../../src/workshop/facts/machines.ts';
import { shadowGap, shadowTriangles } from '../support/beds/polygons-apart.ts';
import { shelfBeds } from '../support/beds/shelf-packing.ts';
import { bedsCase, helmPieces } from '../support/beds/two-helms.ts';

const GAP_MM = 5;
const MARGIN_MM = 5;
const laid = helmPieces();
const machines = [ordinaryMachine([300, 300, 400]), ordinaryMachine([420, 420, 400])];

describe('two helms on two machines', () => {
  const { inputs, settings, work, meshes } = bedsCase(laid, machines, { copies: 2, gapMm: GAP_MM });
  const outcome = computeBeds(inputs, settings, work);
  if (!outcome.ok) throw new Error(outcome.why);
  const { loads } = outcome.value;

  it('prints every piece of both once', () => {
    const printed = loads.flatMap(({ places }) => places.map(({ piece, copy }) => `${piece}${copy}`)).sort();
    expect(printed).toEqual([...meshes.keys()].flatMap((piece) => [`${piece}1`, `${piece}2`]).sort());
    expect(loads.some(({ places }) => places.length > 1)).toBe(true);
    expect(new Set(loads.map(({ machine }) => machine)).size).toBe(2);
  });

  it('keeps the gap between all true shadows, and all of them on the bed less its margin', () => {
    for (const load of loads) {
      const [wide, deep] = machines.find(({ id }) => id === load.machine)!.bedMm;
      const shadows = load.places.map((place) => shadowTriangles({ mesh: meshes.get(place.piece)!, ...place }));
      for (const [i, shadow] of shadows.entries()) {
        const [least, most] = cornersOf(shadow);
        expect(Math.min(...least)).toBeGreaterThanOrEqual(MARGIN_MM - 1e-9);
        expect(most[0]).toBeLessThanOrEqual(wide - MARGIN_MM + 1e-9);
        expect(most[1]).toBeLessThanOrEqual(deep - MARGIN_MM + 1e-9);
        for (const other of shadows.slice(i + 1)) {
          const gap = shadowGap(shadow, other, 3 * GAP_MM);
          expect(gap).toBeGreaterThanOrEqual(GAP_MM);
          expect(gap + 1e-9).toBeGreaterThanOrEqual(load.gapMm!);
        }
      }
    }
  });

  it('lets no two prints of a machine run at once, and none start at night', () => {
    for (const { id } of machines) {
      const own = loads.filter(({ machine }) => machine === id);
      for (const [i, { startsS, endsS }] of own.entries()) {
        const hour = (startsS / 3600) % 24;
        expect(hour).toBeGreaterThanOrEqual(7);
        expect(hour).toBeLessThanOrEqual(22);
        if (i > 0) expect(startsS).toBeGreaterThanOrEqual(own[i - 1]!.endsS + 60 * settings.changeoverMin - 1e-6);
        expect(endsS).toBeGreaterThan(startsS);
      }
    }
  });

  it('takes no more beds than rectangles on shelves do', () => {
    const twice = [...laid, ...laid];
    const items = twice.map((mesh) => sizeOf(bounds(mesh))).map(([wideMm, deepMm]) => ({ wideMm, deepMm }));
    const outlines = twice.map((mesh) =>
      layableOutline(shadowOutline(mesh), [0, 90, 180, 270], { gapMm: GAP_MM, cellMm: LAYING_CELL_MM }),
    );
    for (const { bedMm } of machines) {
      const bed = { widthMm: bedMm[0] - 2 * MARGIN_MM, depthMm: bedMm[1] - 2 * MARGIN_MM };
      expect(bedsByOutline(outlines, bed)).toBeLessThanOrEqual(shelfBeds(items, bed, GAP_MM));
    }
  });
});

type Corner = readonly [number, number];

function cornersOf(shadow: ReturnType<typeof shadowTriangles>): readonly [Corner, Corner] {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const triangle of shadow)
    for (const [x, y] of triangle)
      [x0, y0, x1, y1] = [Math.min(x0, x), Math.min(y0, y), Math.max(x1, x), Math.max(y1, y)];
  return [
    [x0, y0],
    [x1, y1],
  ];
}

/** First fit, largest first. */
function bedsByOutline(
  outlines: readonly LayableOutline[],
  bed: { readonly widthMm: number; readonly depthMm: number },
): number {
  const beds: LayableOutline[][] = [];
  for (const outline of [...outlines].sort((one, other) => other.cells - one.cells)) {
    const roomy = beds.find((each) => packBed([...each, outline], bed, { cellMm: LAYING_CELL_MM }) !== null);
    if (roomy === undefined) beds.push([outline]);
    else roomy.push(outline);
  }
  return beds.length;
}
