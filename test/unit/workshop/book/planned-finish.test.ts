// The finish as plan.json has it keeps its schema, and says what the record says.
import { expect, it } from 'vitest';
import { PlannedFinish, plannedFinish } from '../../../../src/workshop/book/planned-finish.ts';
import { SurfaceSettings } from '../../../../src/workshop/surface/surface.ts';
import { surfaceRecord } from '../../../support/surface-record.ts';

it('tells rounds, packs and steps with their days', () => {
  const record = surfaceRecord(SurfaceSettings.parse({}));
  const planned = plannedFinish(record);
  expect(PlannedFinish.parse(planned)).toEqual(planned);
  expect(planned.steps.map(({ day }) => day)).toEqual(record.days.starts);
  expect(planned.shopping).toEqual(record.shopping);
  expect(planned.pieces[0]).toMatchObject({ id: 'A', ringMm: 9.04, handsOnS: record.piecesS[0] });
  expect(planned.pieces[0]!.reachMm2).toEqual({
    'folded paper': 4000,
    swab: 6000,
    finger: 10_000,
    block: 20_000,
    sander: 30_000,
  });
  expect(Object.values(planned.pieces[0]!.reachMm2).reduce((sum, mm2) => sum + mm2, 0)).toBe(planned.areaMm2);
});
