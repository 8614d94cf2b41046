// Open faces of one join are laid and pressed together; what is set from inside comes after, run by run.
import { describe, expect, it } from 'vitest';
import { joinGluing } from '../../../../src/workshop/process/join-gluing.ts';
import { gluing } from '../../../support/gluing.ts';

describe('gluing one join', () => {
  const seams = [
    gluing('A-B', { drops: 22, faceDrops: 8, layS: 33, runs: 2, holdS: 60, tapes: 4 }),
    gluing('A-C', { drops: 18, faceDrops: 18, layS: 27, runs: 1, holdS: 30, tapes: 3 }),
    gluing('A-D', { drops: 60, faceDrops: 0, layS: 90, runs: 2, holdS: 60, tapes: 5 }),
    gluing('C-D', { drops: 99 }),
  ];

  it('presses all open faces once, and lays them in one go', () => {
    expect(joinGluing({ seams: ['A-B', 'A-C', 'A-D'] }, seams)).toEqual({
      faceDrops: 26,
      // 8 and 18 drops of 1.5 s
      faceLayS: 39,
      insideDrops: 74,
      // the faces, one run inside A-B, two inside A-D
      runs: 4,
      pressS: 4 * 30,
      tapes: 12,
    });
  });

  it('is nothing for what comes apart', () => {
    const screwed = gluing('A-B', { drops: 0, faceDrops: 0, layS: 0, runs: 0, holdS: 0, tapes: 0 });
    expect(joinGluing({ seams: ['A-B'] }, [screwed])).toEqual({
      faceDrops: 0,
      faceLayS: 0,
      insideDrops: 0,
      runs: 0,
      pressS: 0,
      tapes: 0,
    });
  });
});
