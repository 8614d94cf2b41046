// The door: spools that run out, an order that spares the night, what cannot be planned, and that the plan follows the aim.
import { describe, expect, it } from 'vitest';
import { box } from '../../../../src/mesh/builders.ts';
import { type BedsSettings, computeBeds } from '../../../../src/workshop/beds/beds.ts';
import { ordinaryMachine } from '../../../../src/workshop/facts/machines.ts';
import { bedsCase } from '../../../support/beds/two-helms.ts';

const machine = ordinaryMachine([220, 220, 250]);
const H = 3600;

/** Boxes with hours and grams of our own. */
function planned(
  prints: readonly { readonly sideMm: number; readonly hours: number; readonly grams: number }[],
  choices: Partial<BedsSettings> = {},
) {
  const laid = prints.map(({ sideMm }) => box([0, 0, 0], [sideMm, sideMm, 20]));
  const { inputs, settings, work } = bedsCase(laid, [machine], choices);
  const given = inputs.printing.prints.map((print, i) => ({
    ...print,
    filamentG: prints[i]!.grams,
    supportG: 0,
    on: print.on.map((on) => ({
      ...on,
      layerS: new Float64Array(100).fill((prints[i]!.hours * H - machine.startUpS) / 100),
    })),
  }));
  return computeBeds({ ...inputs, printing: { ...inputs.printing, prints: given } }, settings, work);
}

function recordOf(outcome: ReturnType<typeof planned>) {
  if (!outcome.ok) throw new Error(outcome.why);
  return outcome.value;
}

describe('beds', () => {
  it('run the long one through the night: ten hours first, then sixteen', () => {
    // side by side they do not fit
    const two = [
      { sideMm: 150, hours: 10, grams: 100 },
      { sideMm: 150, hours: 16, grams: 100 },
    ];
    const { loads, endsS } = recordOf(planned(two));
    expect(loads).toHaveLength(2);
    // the short one first: it ends at 18, and the next starts a quarter of an hour later
    expect(loads.map(({ startsS }) => startsS / H)).toEqual([8, expect.closeTo(18.25, 6)]);
    expect(endsS / H).toBeCloseTo(34.25, 6);
  });

  it('put small pieces together where that is sooner', () => {
    const small = Array.from({ length: 3 }, () => ({ sideMm: 60, hours: 14, grams: 50 }));
    const { loads, gapMm, others, endsS } = recordOf(planned(small));
    expect(loads).toHaveLength(1);
    expect(loads[0]!.gapMm).toBeGreaterThanOrEqual(gapMm);
    expect(others.apartS).toBeGreaterThan(endsS);
    expect(loads[0]!.failingShare).toBeGreaterThan(0.3);
  });

  it('keep them apart where failures are to cost least', () => {
    const small = Array.from({ length: 3 }, () => ({ sideMm: 60, hours: 14, grams: 50 }));
    const surest = recordOf(planned(small, { aim: 'surest' }));
    expect(surest.loads).toHaveLength(3);
    expect(surest.lostS).toBeLessThan(recordOf(planned(small)).lostS);
    expect(surest.endsS).toBeGreaterThan(recordOf(planned(small)).endsS);
  });

  it('say where a spool runs out: at half the grams, half the time after the start, half the height', () => {
    const { loads, spools } = recordOf(
      planned([{ sideMm: 60, hours: 10.1, grams: 100 }], { leftG: { [machine.id]: 50 } }),
    );
    const [end] = loads[0]!.spoolEnds;
    expect(end!.atS / H).toBeCloseTo(8 + 0.1 + 5, 1);
    expect(end!.heightMm).toBeCloseTo(10, 0);
    expect(end!.awake).toBe(true);
    expect(loads[0]!.leftG).toBe(950);
    expect(spools).toEqual([{ machine: machine.id, filamentG: 100, fresh: 1 }]);
  });

  it('change the order so that a spool runs out by day, where that ends no later', () => {
    // both orders end together; in one of them 150 g are laid at four in the morning
    const two = [
      { sideMm: 150, hours: 23.75, grams: 100 },
      { sideMm: 150, hours: 23.75, grams: 200 },
    ];
    const { loads } = recordOf(planned(two, { leftG: { [machine.id]: 150 } }));
    expect(loads.flatMap(({ spoolEnds }) => spoolEnds).map(({ awake }) => awake)).toEqual([true]);
  });

  it('warn of a spool that runs out at night', () => {
    const outcome = planned([{ sideMm: 60, hours: 24, grams: 100 }], { leftG: { [machine.id]: 80 } });
    expect(outcome.ok && outcome.findings.map(({ code }) => code)).toEqual(['SPOOL_ENDS_ASLEEP']);
  });

  it('warn of a long bed with several pieces', () => {
    const small = Array.from({ length: 3 }, () => ({ sideMm: 60, hours: 14, grams: 50 }));
    const outcome = planned(small);
    expect(outcome.ok && outcome.findings.map(({ code }) => code)).toEqual(['BED_LONG']);
  });

  it('cannot be planned where nobody is awake for a changeover', () => {
    const outcome = planned([{ sideMm: 60, hours: 1, grams: 1 }], {
      wakingFromH: 7,
      wakingToH: 7.25,
      changeoverMin: 30,
    });
    expect(outcome).toMatchObject({ ok: false, code: 'BEDS_NO_HANDS' });
  });
});
