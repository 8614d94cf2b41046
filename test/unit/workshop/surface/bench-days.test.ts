// Days of a bench by hand: nights off, drying at night, windows of coats kept or waited out.
import { describe, expect, it } from 'vitest';
import type { Step } from '../../../../src/workshop/process/step.ts';
import { benchDays } from '../../../../src/workshop/surface/bench-days.ts';

const H = 3600;
const DAY = { startsH: 8, fromH: 7, toH: 22 };
const step = (id: string, handsOnS: number, unattendedS = 0, window?: Step['window']): Step => ({
  id,
  name: id,
  handsOnS,
  unattendedS,
  ...(window === undefined ? {} : { window }),
  after: [],
  needs: [],
  place: 'bench',
  caution: null,
  source: '',
});

describe('days of a bench', () => {
  it('begin at its hour, and work goes on the next morning', () => {
    // 14 h to 22 o'clock, then two more from 7 on
    expect(benchDays([step('a', 16 * H)], DAY)).toEqual({ starts: [1], end: 2, elapsedS: 25 * H });
    expect(benchDays([step('a', 14 * H), step('b', H)], DAY)).toEqual({ starts: [1, 2], end: 2, elapsedS: 24 * H });
  });

  it('dry at night', () => {
    const days = benchDays([step('a', 4 * H, 12 * H), step('b', H), step('c', 0, 24 * H)], DAY);
    // left at noon, dry at midnight, worked on from 7 to 8, hard a day later
    expect(days).toEqual({ starts: [1, 2, 2], end: 3, elapsedS: 48 * H });
  });

  it('wait a window out that is missed, and keep one that is not', () => {
    const late = { of: 'a', soonS: H, laterS: 24 * H };
    expect(benchDays([step('a', H, 2 * H), step('b', H, 0, late)], DAY).elapsedS).toBe(H + 24 * H + H);
    expect(benchDays([step('a', H, H / 2), step('b', H, 0, late)], DAY).elapsedS).toBe(2.5 * H);
  });

  it('put a coat off until the morning where the night would part it from the next', () => {
    const soon = { of: 'colour', soonS: H, laterS: 24 * H };
    const steps = [step('sand', 13.5 * H), step('colour', H / 2, H / 2), step('clear', H / 2, 0, soon)];
    // at once: colour until 22, clear a day later at 22, when hands rest: 7 on day 3. In the morning: 7 to 8:30 on day 2
    expect(benchDays(steps, DAY)).toEqual({ starts: [1, 2, 2], end: 2, elapsedS: 24.5 * H });
  });

  it('go on until after midnight where hands are up then, and round the clock', () => {
    const owl = { startsH: 20, fromH: 18, toH: 2 };
    expect(benchDays([step('a', 8 * H)], owl).elapsedS).toBe((6 + 16 + 2) * H);
    expect(benchDays([step('a', 30 * H)], { startsH: 8, fromH: 0, toH: 24 }).elapsedS).toBe(30 * H);
  });
});
