// Whole kits, written by the command and read back by plain readers: closed, fitting, nothing lost, mating faces as cut. Seams are kept flat:
// and pieces plain: bowed faces and keys are no section of a plane (test/unit/workshop/pieces/bow, test/reference/seams* have those).
// Outside: sections and areas by the solid kernel's own 2D polygon library; closedness and volume by test/support/plain-stl.
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { writeStl } from '../../src/documents/stl/write-stl.ts';
import { runCommandLine } from '../support/command.ts';
import { checkKit } from '../support/kit-check.ts';
import { quickHelm } from '../support/quick-helm.ts';

const folder = mkdtempSync(join(tmpdir(), 'helmwright-kits-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const SHELL = '../shared/reference/shell-50k.stl';
const BEDS = ['180x180x180', '220x220x250', '300x300x400'];

/** What does not depend on the bed is computed once for all beds. */
const KEPT = ['--data', join(folder, 'data')];

async function planAndCheck(model: string, bed: string, out: string): Promise<void> {
  const ran = await runCommandLine(['plan', model, '--bed', bed, '--bow', '0', '--plain', ...KEPT, '--out', out]);
  expect(ran.code, ran.err).toBe(0);
  const check = await checkKit(out, model);
  expect(check.badEdges).toBe(0);
  expect(check.overMm).toBeLessThanOrEqual(0);
  expect(check.volumeOff).toBeLessThan(1e-6);
  expect(check.threemfOff).toBeLessThan(1e-12);
  for (const seam of check.seams) {
    expect(seam.offSection, `${seam.id} against the section of the input`).toBeLessThan(1e-6);
    expect(seam.offWritten, `${seam.id} against the written face`).toBeLessThan(1e-6);
  }
}

describe('the kit of a plain dome', () => {
  const model = join(folder, 'dome.stl');
  writeFileSync(model, writeStl(quickHelm()));
  it.each(BEDS)('on a bed of %s', (bed) => planAndCheck(model, bed, join(folder, `dome-${bed}`)), 120_000);
});

describe("the kit of the Keeper's helm, 60 thousand triangles", () => {
  it('on a bed of 220x220x250', async () => {
    const out = join(folder, 'helm');
    const ran = await runCommandLine([
      'demo',
      '--triangles',
      '60000',
      '--bed',
      '220x220x250',
      '--bow',
      '0',
      '--plain',
      '--out',
      out,
    ]);
    expect(ran.code, ran.err).toBe(0);
    const check = await checkKit(out, join(out, 'keepers-helm.stl'));
    expect(check).toMatchObject({ badEdges: 0 });
    expect(check.overMm).toBeLessThanOrEqual(0);
    expect(check.volumeOff).toBeLessThan(1e-6);
    expect(Math.max(...check.seams.map((seam) => seam.offSection))).toBeLessThan(1e-6);
  }, 180_000);
});

describe.skipIf(!existsSync(SHELL))(
  'the kit of the shared reference shell (skipped when ../shared is not there)',
  () => {
    it.each(BEDS)('on a bed of %s', (bed) => planAndCheck(SHELL, bed, join(folder, `shell-${bed}`)), 240_000);
  },
);
