// Which versions led to the one that stands, which were undone, and which were left for something else.
import { describe, expect, it } from 'vitest';
import type { HistoryEntry } from '../../../../src/app/api/api.ts';
import { historyDays } from '../../../../src/app/web/history-lines.ts';

const entry = (number: number, from: number | null, stands = false): HistoryEntry => ({
  number,
  from,
  madeAt: `2026-11-${String(10 + Math.ceil(number / 2)).padStart(2, '0')}T10:0${number}:00.000Z`,
  kind: from === null ? 'begun' : 'set',
  says: `change ${number}`,
  stands,
});
const dayOf = (iso: string): string => iso.slice(0, 10);
const places = (entries: readonly HistoryEntry[]): Record<number, string> =>
  Object.fromEntries(
    historyDays([...entries].reverse(), dayOf).flatMap(({ lines }) =>
      lines.map((line) => [line.entry.number, line.place]),
    ),
  );

describe('the history as it is set', () => {
  it('is one line while nothing was undone', () => {
    expect(places([entry(1, null), entry(2, 1), entry(3, 2, true)])).toEqual({ 1: 'line', 2: 'line', 3: 'stands' });
  });

  it('tells what was undone and can be done again', () => {
    expect(places([entry(1, null), entry(2, 1, true), entry(3, 2), entry(4, 3)])).toEqual({
      1: 'line',
      2: 'stands',
      3: 'undone',
      4: 'undone',
    });
  });

  it('tells what was left when something else was done instead', () => {
    expect(places([entry(1, null), entry(2, 1), entry(3, 2), entry(4, 1), entry(5, 4, true)])).toEqual({
      1: 'line',
      2: 'left',
      3: 'left',
      4: 'line',
      5: 'stands',
    });
  });

  it('keeps apart what was left before the step that was undone', () => {
    expect(places([entry(1, null), entry(2, 1), entry(3, 1, true), entry(4, 3)])).toEqual({
      1: 'line',
      2: 'left',
      3: 'stands',
      4: 'undone',
    });
  });

  it('groups by day, newest first, and says once what is said of several', () => {
    const days = historyDays([entry(4, 1, true), entry(3, 2), entry(2, 1), entry(1, null)], dayOf);
    expect(
      days.map(({ at, lines }) => [dayOf(at), lines.map(({ entry: each, first }) => [each.number, first])]),
    ).toEqual([
      [
        '2026-11-12',
        [
          [4, true],
          [3, true],
        ],
      ],
      [
        '2026-11-11',
        [
          [2, true],
          [1, true],
        ],
      ],
    ]);
  });
});
