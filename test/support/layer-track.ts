// A track of layer starts as the chapter Surface records it, for tests of what is made of it.
import type { LayerStarts } from '../../src/workshop/process/surface-record.ts';

export function layerTrack(trackMm: number, more: Partial<LayerStarts> = {}): LayerStarts {
  return { kind: 'hidden', bedDeg: 90, trackMm, seamMm: 0, seenMm: trackMm, costMm: trackMm, lines: [], ...more };
}
