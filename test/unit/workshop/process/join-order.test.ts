// Orders of joining that can be told by looking at the division.
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { joinOrder } from '../../../../src/workshop/process/join-order.ts';
import type { Seam } from '../../../../src/workshop/process/pieces-record.ts';

const NORMALS = { x: [1, 0, 0], y: [0, 1, 0], z: [0, 0, 1] } as const;

function seam(pieces: string, cut: number, axis: keyof typeof NORMALS): Pick<Seam, 'id' | 'pieces' | 'cut' | 'plane'> {
  return { id: `${pieces}`, pieces: [pieces[0]!, pieces[1]!], cut, plane: { normal: NORMALS[axis], offsetMm: 0 } };
}

const piece = (id: string, volumeMm3 = 1) => ({ id, volumeMm3 });

describe('the order of joining', () => {
  it('of one piece is empty', () => {
    expect(joinOrder([piece('A')], [])).toEqual([]);
  });

  it('of two pieces moves the smaller, up when it lies below', () => {
    const seams = [seam('AB', 0, 'z')];
    expect(joinOrder([piece('A', 1), piece('B', 2)], seams)).toEqual([
      { moving: ['A'], onto: ['B'], towards: [0, 0, 1], seams: ['AB'] },
    ]);
    expect(joinOrder([piece('A', 2), piece('B', 1)], seams)).toEqual([
      { moving: ['B'], onto: ['A'], towards: [0, 0, -1], seams: ['AB'] },
    ]);
  });

  it('of a bowl in halves with a lid in quarters: halves first, then the lid, the first cut last', () => {
    // cut 0 level (bowl A, B below; lid C, D above), cut 1 through the bowl, cut 2 through the lid
    const seams = [seam('AC', 0, 'z'), seam('BD', 0, 'z'), seam('AB', 1, 'x'), seam('CD', 2, 'x')];
    const joins = joinOrder([piece('A', 5), piece('B', 4), piece('C', 2), piece('D', 3)], seams);
    expect(joins).toEqual([
      { moving: ['C'], onto: ['D'], towards: [1, 0, 0], seams: ['CD'] },
      { moving: ['B'], onto: ['A'], towards: [-1, 0, 0], seams: ['AB'] },
      { moving: ['D', 'C'], onto: ['A', 'B'], towards: [0, 0, -1], seams: ['AC', 'BD'] },
    ]);
  });

  it('of pieces above and below one plane that are linked in a ring closes each from its own side', () => {
    // A and D below, B and C above: two pairs closed first would stand in each other's way
    const seams = [seam('AB', 0, 'z'), seam('DB', 0, 'z'), seam('DC', 0, 'z'), seam('AC', 0, 'z')];
    const joins = joinOrder([piece('A', 9), piece('B'), piece('C', 3), piece('D', 2)], seams);
    expect(joins.map(({ moving }) => moving)).toEqual([['C'], ['D'], ['B']]);
    expect(joins.map(({ towards }) => towards[2])).toEqual([-1, 1, -1]);
  });

  it('of solids that no seam links leaves them apart', () => {
    const joins = joinOrder([piece('A'), piece('B'), piece('C'), piece('D')], [seam('AB', 0, 'x'), seam('CD', 1, 'x')]);
    expect(joins.map(({ moving, onto }) => [...moving, ...onto].sort().join(''))).toEqual(['CD', 'AB']);
  });
});

/** A random division of one body: a part is parted again and again; every new piece of one side keeps some seams of the part it came from. */
const division = fc
  .array(fc.record({ part: fc.nat(), axis: fc.constantFrom(...'xyz'), keep: fc.infiniteStream(fc.boolean()) }), {
    minLength: 1,
    maxLength: 12,
  })
  .map((cuts) => {
    const pieces = ['A'];
    let seams: ReturnType<typeof seam>[] = [];
    cuts.forEach(({ part, axis, keep }, cut) => {
      const old = pieces[part % pieces.length]!;
      const fresh = String.fromCharCode(65 + pieces.length);
      pieces.push(fresh);
      seams = seams.map((one) => {
        const moves = one.pieces.includes(old) && keep.next().value;
        const ends = one.pieces.map((id) => (moves && id === old ? fresh : id)).join('');
        return { ...seam(ends, one.cut, 'x'), plane: one.plane, id: one.id };
      });
      seams.push({ ...seam(old + fresh, cut, axis as 'x'), id: `s${cut}` });
    });
    return { pieces: pieces.map((id, k) => piece(id, 1 + ((k * 7) % 5))), seams };
  });

it('joins everything, each seam once, each piece in one group at a time, later cuts first', () => {
  fc.assert(
    fc.property(division, ({ pieces, seams }) => {
      const joins = joinOrder(pieces, seams);
      expect(joins).toHaveLength(pieces.length - 1);
      expect(joins.flatMap((join) => join.seams).sort()).toEqual(seams.map(({ id }) => id).sort());
      const cutOf = new Map(seams.map((one) => [one.id, one.cut]));
      const cuts = joins.map((join) => cutOf.get(join.seams[0]!)!);
      expect(cuts).toEqual([...cuts].sort((one, other) => other - one));
      let groups = pieces.map(({ id }) => [id]);
      for (const { moving, onto } of joins) {
        const [from, to] = [moving, onto].map((group) => groups.find((one) => one.join() === group.join()));
        expect(from).toBeDefined();
        expect(to).toBeDefined();
        groups = [...groups.filter((one) => one !== from && one !== to), [...to!, ...from!]];
      }
    }),
    { seed: 5, numRuns: 200 },
  );
});
