// Rounds by hand: (need - sanded - allowed) / what a round fills, rounded up.
import { describe, expect, it } from 'vitest';
import { fillMm, roundsFor } from '../../../../src/workshop/surface/rounds.ts';
import { SurfaceSettings } from '../../../../src/workshop/surface/surface.ts';

const settings = (some: Partial<SurfaceSettings> = {}): SurfaceSettings => SurfaceSettings.parse(some);

describe('rounds', () => {
  it.each([
    // a crown in layers of 0.2: 0.198 - 0.05 - 0.04 = 0.108, over 0.09 of three coats
    { needMm: 0.198, by: 'primer', target: 'hand', rounds: 2 },
    // 0.198 - 0.05 - 0.12 = 0.028
    { needMm: 0.198, by: 'primer', target: 'stage', rounds: 1 },
    // 0.198 - 0.05 - 0.015 = 0.133
    { needMm: 0.198, by: 'primer', target: 'camera', rounds: 2 },
    // layers of 0.3: 0.297 - 0.065 = 0.232
    { needMm: 0.297, by: 'primer', target: 'camera', rounds: 3 },
    // walls: 0.137 - 0.09 = 0.047; 0.137 - 0.17 < 0
    { needMm: 0.137, by: 'primer', target: 'hand', rounds: 1 },
    { needMm: 0.137, by: 'primer', target: 'stage', rounds: 0 },
    // resin 0.2 a coat: 0.108 and 0.232
    { needMm: 0.198, by: 'resin', target: 'hand', rounds: 1 },
    { needMm: 0.297, by: 'resin', target: 'camera', rounds: 2 },
    // marks of support, 0.137 + 0.3: 0.437 - 0.09 = 0.347 over 0.3 of putty, over 1 of two-part filler
    { needMm: 0.437, by: 'putty', target: 'hand', rounds: 2 },
    { needMm: 0.437, by: 'filler', target: 'hand', rounds: 1 },
    { needMm: 0.437, by: 'putty', target: 'stage', rounds: 1 },
    // a bare seam of half a millimetre: 0.41
    { needMm: 0.5, by: 'putty', target: 'hand', rounds: 2 },
    { needMm: 0, by: 'putty', target: 'camera', rounds: 0 },
  ] as const)('$needMm mm by $by for $target: $rounds', ({ needMm, by, target, rounds }) => {
    expect(roundsFor(needMm, by, settings({ target }))).toBe(rounds);
  });

  it('do not begin another for what arithmetic leaves over', () => {
    // 0.27 - 0.05 - 0.04 is two rounds of 0.09 and, in binary, a hair
    expect(roundsFor(0.05 + 0.04 + 0.18, 'primer', settings())).toBe(2);
    expect(roundsFor(0.05 + 0.04 + 0.181, 'primer', settings())).toBe(3);
  });

  it('are fewer with more coats and with more sanded off', () => {
    expect(fillMm('primer', settings({ primerCoats: 6 }))).toBeCloseTo(0.18, 12);
    expect(fillMm('putty', settings({ primerCoats: 6 }))).toBe(0.3);
    expect(roundsFor(0.198, 'primer', settings({ primerCoats: 6 }))).toBe(1);
    expect(roundsFor(0.198, 'primer', settings({ primerCoats: 1 }))).toBe(4);
    expect(roundsFor(0.198, 'primer', settings({ sandedMm: 0.16 }))).toBe(0);
  });
});
