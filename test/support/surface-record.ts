// What the Surface chapter makes of one crown with a seam, its areas invented, its work reckoned.
import type { SurfaceRecord } from '../../src/workshop/process/surface-record.ts';
import type { SurfaceSettings } from '../../src/workshop/surface/surface.ts';
import { surfaceWork } from '../../src/workshop/surface/surface-work.ts';
import { layerTrack } from './layer-track.ts';
import { WAKING } from './surface-run.ts';

export function surfaceRecord(settings: SurfaceSettings): SurfaceRecord {
  const areaMm2 = [4000, 6000, 10_000, 20_000, 30_000];
  const cuspMm = { p50: 0.17, p95: 0.198 };
  const classes = [
    { of: 'rings', areaMm2: 30_000, cuspMm, needMm: 0.198, rounds: 2, reachMm2: [0, 0, 5000, 5000, 20_000] },
    { of: 'walls', areaMm2: 40_000, cuspMm, needMm: 0.13, rounds: 1, reachMm2: [4000, 6000, 5000, 15_000, 10_000] },
  ] as const;
  const piece = { piece: 'A', areaMm2: 70_000, classes, ringMm: 9.04, flareMm: 0, starts: layerTrack(150) };
  const seams = [{ seam: 'B-A', lengthMm: 700, stepMm: 0.5, worstMm: 0.8, grooveMm: 0.4, rounds: 2 }];
  const reach = { areaMm2, pieces: [{ piece: 'A', areaMm2 }], perTri: new Uint8Array(), soft: [] };
  return {
    kind: 'surface',
    version: 1,
    layerMm: 0.2,
    pieces: [piece],
    seams,
    reach,
    ...surfaceWork({ pieces: [piece], seams, reach }, settings, WAKING),
    otherFiller: { seams: 'filler', rounds: 1, handsOnS: 3600, endDay: 2 },
    wideSteps: [],
    dewPointC: 11.995,
    primerWetUm: null,
  };
}
