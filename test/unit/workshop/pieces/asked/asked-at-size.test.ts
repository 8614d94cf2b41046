import { describe, expect, it } from 'vitest';
import { askedAtSize, bedsOf, demandsOfBody } from '../../../../../src/workshop/pieces/asked/asked-at-size.ts';
import { AskedOfSeams } from '../../../../../src/workshop/process/asked-seams.ts';
import { sphereMesh } from '../../../../support/pieces/round-shapes.ts';

const ball = sphereMesh(150, 5);
const BEDS = [
  { id: 'one', bedMm: [200, 200, 200] as [number, number, number] },
  { id: 'two', bedMm: [300, 300, 300] as [number, number, number] },
];
const mark = (x: number, y: number, z: number) => {
  const length = Math.hypot(x, y, z);
  return { atMm: [x, y, z], normal: [x / length, y / length, z / length] };
};
const outcomeOf = (asked: unknown) => askedAtSize(AskedOfSeams.parse(asked), ball, { scale: 1.5, beds: BEDS });

describe('what is asked, at worn size', () => {
  it('is found on the shell: a mark of unscaled space lies on the worn surface', () => {
    const asked = {
      seams: [{ name: 'Level', points: [mark(0, -100, 0)], normal: [0, 0, 2] }],
      machines: [{ at: mark(0, 100, 0), machine: 'two' }],
    };
    const outcome = outcomeOf(asked);
    if (!outcome.ok) throw new Error(outcome.why);
    expect(outcome.findings).toEqual([]);
    const [seam] = outcome.value.seams;
    expect(seam).toMatchObject({ index: 0, plane: { normal: [0, 0, 1], offsetMm: 0 }, firstMm: [0, -150, 0] });
    const [machine] = outcome.value.machines;
    expect(machine).toMatchObject({ index: 0, bed: 1 });
    const corner = ball.triangles[machine!.tri * 3]! * 3;
    expect(ball.positions[corner + 1]!).toBeGreaterThan(140);
  });

  it('tells the mark that lies farthest off the surface, with how far and the limit', () => {
    const outcome = outcomeOf({
      clear: [{ name: 'Badge', outline: [mark(0, -100, 0), mark(10, -104, 0), mark(0, -99.5, 10)] }],
    });
    if (!outcome.ok) throw new Error(outcome.why);
    expect(outcome.findings).toHaveLength(1);
    const [found] = outcome.findings;
    expect(found).toMatchObject({
      code: 'MARK_OFF',
      where: { path: 'pieces.asked.clear.0', space: 'model', atMm: [10, -104, 0] },
      limit: 1,
      unit: 'mm',
    });
    // 1.5 x 104.48 - 150, less what the facets lie inside the ball
    expect(found!.measured!).toBeGreaterThan(6.7);
    expect(found!.measured!).toBeLessThan(7);
    expect(found!.say).toMatch(/^The first area kept clear has a mark 6\.\d mm off the surface, more than 1 mm/);
  });

  it('refuses points that tell no plane, and machines that are not there', () => {
    expect(outcomeOf({ seams: [{ name: 'Lost', points: [mark(0, -100, 0)] }] })).toMatchObject({
      ok: false,
      code: 'PIECES_SEAM_UNMET',
      why: 'The first seam asked for has one point only, which tells no plane; two points apart do.',
      where: { path: 'pieces.asked.seams.0', atMm: [0, -100, 0] },
    });
    expect(outcomeOf({ machines: [{ at: mark(0, 100, 0), machine: 'three' }] })).toMatchObject({
      ok: false,
      code: 'PIECES_MACHINE_UNMET',
      why: 'The first machine asked for a piece is no longer one of this book, whose machines have 200 x 200 x 200, 300 x 300 x 300 mm.',
    });
  });

  it('goes with the body on which it was marked, and leaves a part only the beds it may lie on', () => {
    const asked = {
      seams: [{ name: 'Level', points: [mark(0, -100, 0)], normal: [0, 0, 1] }],
      machines: [{ at: mark(0, 100, 0), machine: 'two' }],
    };
    const outcome = outcomeOf(asked);
    if (!outcome.ok) throw new Error(outcome.why);
    const { seams, machines } = outcome.value;
    const body = Int32Array.from([7, machines[0]!.tri]);
    expect(demandsOfBody(outcome.value, body)).toMatchObject({ seams: [], machines: [{ index: 0, tri: 1 }] });
    expect(demandsOfBody(outcome.value, Int32Array.from([seams[0]!.tri])).seams).toHaveLength(1);
    expect(bedsOf(BEDS, machines).map(({ id }) => id)).toEqual(['two']);
    expect(bedsOf(BEDS, [])).toEqual(BEDS);
    expect(bedsOf(BEDS, [machines[0]!, { ...machines[0]!, bed: 0 }])).toEqual([]);
  });
});
