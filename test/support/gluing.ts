// The gluing of one seam with made-up amounts, for tests that write or print it.
import type { SeamGluing } from '../../src/workshop/process/assembly-record.ts';

export function gluing(id: string, more: Partial<SeamGluing> = {}): SeamGluing {
  return {
    seam: id,
    stays: 'glued',
    lengthMm: 254,
    stepMm: { nominal: 0.18, printed: 0.52 },
    sandS: 144,
    drops: 20,
    dropsG: 0.12,
    faceDrops: 0,
    runs: 1,
    dropsARun: 20,
    runMm: 254,
    layS: 30,
    holdS: 30,
    tapes: 4,
    tapeAt: [],
    tacks: [],
    bead: { lengthMm: 192, volumeMm3: 1536, grams: 1.3824, layS: 38.4, share: 1, afterJoin: 1, beforeJoin: null },
    ...more,
  };
}
