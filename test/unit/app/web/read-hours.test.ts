// How long a print took, as makers write it.
import { expect, it } from 'vitest';
import { readHours } from '../../../../src/app/web/read-hours.ts';

const RANGE = [60, 950_400] as const;

it('reads hours and minutes in the ways they are written', () => {
  for (const [typed, seconds] of [
    ['7 h 12', 25_920],
    ['7h12min', 25_920],
    ['7:12', 25_920],
    ['7.2', 25_920],
    ['7,2 h', 25_920],
    ['7 h', 25_200],
    ['7', 25_200],
    ['432 min', 25_920],
    ['0:45', 2700],
    ['7\u00a0h\u00a012\u00a0min', 25_920],
  ] as const)
    expect([typed, readHours(typed, RANGE)]).toEqual([typed, { ok: true, value: seconds }]);
});

it('says what is wanted, or between which limits', () => {
  for (const typed of ['', 'long', '7:75', '-3', '7 12', '1e3'])
    expect(readHours(typed, RANGE)).toMatchObject({ ok: false, say: expect.stringContaining('7 h 12') });
  for (const typed of ['0', '0:00', '400'])
    expect(readHours(typed, RANGE)).toMatchObject({ ok: false, say: expect.stringContaining('between 1') });
});
