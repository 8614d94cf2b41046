// What the figure shows of how little is looked at: from the piece, but not from its mating faces nor its inside.
import { describe, expect, it } from 'vitest';
import { hiddenTones } from '../../../../src/app/worker/hidden-tone.ts';
import { blockMesh } from '../../../support/pieces/block-mesh.ts';

// two triangles each: bottom, top, front, back, the inside at x = -10, the mating face at x = 10
const mesh = blockMesh([20, 20, 20]);
const sourceTri = Int32Array.of(0, 1, 2, 3, 4, 5, 6, 7, 8, 9, -1, -1);
const seen = Uint8Array.of(10, 10, 200, 200, 255, 255, 1, 1, 0, 0);

function toneAt(x: number, y: number, z: number): number {
  return hiddenTones({ mesh, sourceTri, seen }, [Float32Array.of(x, y, z)])[0]![0]!;
}

describe('tone of what is hidden', () => {
  it('is the less the more is looked at', () => {
    expect(toneAt(0, 0, 0)).toBe(245);
    expect(toneAt(0, 0, 20)).toBe(55);
    expect(toneAt(0, -10, 10)).toBe(0);
    expect(toneAt(0, 10, 10)).toBe(254);
  });

  it('is none inside', () => {
    expect(toneAt(-10, 0, 10)).toBe(0);
  });

  it('takes a mating face for the surface beside it', () => {
    expect(toneAt(10, 0, 19)).toBe(55);
    expect(toneAt(10, 0, 1)).toBe(245);
  });
});
