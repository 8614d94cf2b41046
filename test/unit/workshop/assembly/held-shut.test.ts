// Joints that are to come apart, held together by glue elsewhere.
import { describe, expect, it } from 'vitest';
import { heldShut } from '../../../../src/workshop/assembly/held-shut.ts';
import type { PiecesRecord } from '../../../../src/workshop/process/pieces-record.ts';

const seams = ['A-B', 'B-C', 'A-C', 'C-D'].map((id) => ({ id, pieces: id.split('-') }));
const pieces = { seams } as unknown as PiecesRecord;
const staying = (...removable: string[]) =>
  seams.map(({ id }) => ({ seam: id, stays: removable.includes(id) ? ('removable' as const) : ('glued' as const) }));

describe('a joint that comes apart', () => {
  it('is held shut where glued seams lead round it, and told by the fewest of them', () => {
    expect(heldShut(staying('A-B'), pieces)).toEqual([{ seam: 'A-B', by: ['A-C', 'B-C'] }]);
  });

  it('opens where all that joins its two sides comes apart', () => {
    expect(heldShut(staying('A-B', 'A-C'), pieces)).toEqual([]);
    expect(heldShut(staying('C-D'), pieces)).toEqual([]);
  });
});
