// The direction in which layers start, and its track, on pieces reckoned by hand.
import { describe, expect, it } from 'vitest';
import { QUIET_WORK } from '../../../../src/base/work.ts';
import { cone } from '../../../../src/mesh/builders.ts';
import { type Mesh, numTris } from '../../../../src/mesh/mesh.ts';
import { IDENTITY, invertTransform, type Transform, transformMesh } from '../../../../src/mesh/transform.ts';
import type { StartKind } from '../../../../src/workshop/process/surface-record.ts';
import { layerStarts } from '../../../../src/workshop/surface/layer-starts.ts';
import { box } from '../../../support/printing-shapes.ts';

/** bottom, top, front, back, left, right: two triangles each. */
const BOX = box(40, 30, 20);
const MATING = -1;

/** `sides`: how much each side of the box is looked at, 0 to 255, or that it is a mating face. */
function ofBox(sides: readonly number[], kind: StartKind, toModel: Transform = IDENTITY) {
  const sourceTri = Int32Array.from({ length: 12 }, (_, t) => (sides[t >> 1] === MATING ? MATING : t));
  const seen = Uint8Array.from({ length: 12 }, (_, t) => Math.max(0, sides[t >> 1]!));
  return layerStarts(BOX, { sourceTri }, { toModel, seen, kind }, QUIET_WORK);
}

function ofAll(mesh: Mesh, kind: StartKind) {
  const sourceTri = Int32Array.from({ length: numTris(mesh) }, (_, t) => t);
  return layerStarts(
    mesh,
    { sourceTri },
    { toModel: IDENTITY, seen: new Uint8Array(numTris(mesh)).fill(255), kind },
    QUIET_WORK,
  );
}

describe('starts seen least', () => {
  it('go to the corner between a mating face and the inside, by the middle of the directions that do', () => {
    const found = ofBox([0, 0, 255, 0, MATING, 255], 'hidden');
    expect(found).toMatchObject({ kind: 'hidden', bedDeg: 130, seenMm: 0, costMm: 0, lines: [] });
    expect(found.trackMm).toBeCloseTo(20, 9);
  });

  it('go where less is looked at, and count half on each side of an edge; at a mating face they are at a seam', () => {
    // back left: half of 51, half of 102 of 255
    const found = ofBox([0, 0, 255, 51, 102, 255], 'hidden');
    expect(found.bedDeg).toBe(130);
    expect(found.seenMm).toBeCloseTo(20, 9);
    expect(found.costMm).toBeCloseTo(20 * 0.3, 9);
    const half = ofBox([0, 0, 255, 51, MATING, 255], 'hidden');
    expect(half.seenMm).toBe(0);
    expect(half.seamMm).toBeCloseTo(20, 9);
    expect(half.costMm).toBeCloseTo(10 * 0.2, 9);
    expect(half.lines).toEqual([]);
    const rim = ofBox([0, 0, 255, 51, 0, 255], 'hidden');
    expect([rim.seamMm, rim.seenMm]).toEqual([0, expect.closeTo(10, 9)]);
  });

  it('leave a line up the corner, in the space of the helm', () => {
    const lifted: Transform = [1, 0, 0, 0, 1, 0, 0, 0, 1, 100, 0, 7];
    const { lines } = ofBox([0, 0, 255, 51, 102, 255], 'hidden', lifted);
    expect(lines).toHaveLength(1);
    const heights = Array.from({ length: 10 }, (_, i) => [80, 15, 8 + 2 * i]);
    expect([...lines[0]!]).toEqual(heights.flat());
  });
});

it('starts that are seen alike all round go to the back', () => {
  expect(ofAll(cone(30, 40, 36), 'hidden')).toMatchObject({ kind: 'hidden', bedDeg: 90 });
});

describe('starts towards the back', () => {
  it('take the direction of the back as the piece lies', () => {
    expect(ofBox([0, 0, 255, 255, 255, 255], 'back')).toMatchObject({ kind: 'back', bedDeg: 90 });
    // as it lies it was turned by 30 degrees counter-clockwise from above: the back is at 120
    const [c, s] = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)];
    const turned = ofBox([0, 0, 255, 255, 255, 255], 'back', invertTransform([c, s, 0, -s, c, 0, 0, 0, 1, 5, 6, 7]));
    expect(turned.bedDeg).toBeCloseTo(120, 9);
  });

  it('are seen least where the back is up, and say so by their kind', () => {
    const backUp: Transform = invertTransform([1, 0, 0, 0, 0, 1, 0, -1, 0, 0, 0, 0]);
    const found = ofBox([0, 0, 255, 51, 102, 255], 'back', backUp);
    expect(found).toMatchObject({ kind: 'hidden', bedDeg: 130 });
    expect(found.costMm).toBeCloseTo(6, 9);
  });
});

describe('the track', () => {
  it('is as long as the slope it runs up', () => {
    // facets of a cone of 64: the slope of their middles, sqrt((30 cos(pi / 64))^2 + 40^2)
    const found = ofAll(cone(30, 40, 64), 'hidden');
    expect(found.trackMm).toBeCloseTo(Math.hypot(30 * Math.cos(Math.PI / 64), 40), 9);
    expect(found.seenMm).toBeCloseTo(found.trackMm, 9);
    expect(found.lines).toHaveLength(1);
  });

  it('runs eight times its rise at most', () => {
    expect(ofAll(cone(100, 1, 64), 'hidden').trackMm).toBeCloseTo(8, 9);
  });

  it('parts where the next start is elsewhere', () => {
    const tall = transformMesh([1, 0, 0, 0, 1, 0, 0, 0, 1, 100, 0, 20], BOX);
    const stacked: Mesh = {
      kind: 'mesh',
      positions: Float64Array.from([...BOX.positions, ...tall.positions]),
      triangles: Uint32Array.from([...BOX.triangles, ...tall.triangles.map((v) => v + 8)]),
    };
    const found = ofAll(stacked, 'back');
    expect(found.trackMm).toBeCloseTo(40, 9);
    expect(found.lines).toHaveLength(2);
  });

  it('is not there when starts are spread', () => {
    expect(ofBox([0, 0, 255, 255, 255, 255], 'spread')).toEqual({
      kind: 'spread',
      bedDeg: null,
      trackMm: 0,
      seamMm: 0,
      seenMm: 0,
      costMm: 0,
      lines: [],
    });
  });
});
