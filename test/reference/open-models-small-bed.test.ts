// What sculptors really deliver, at life size on a bed of 180 mm: closed, fitting pieces with nothing lost.
// Outside: the open models of ../shared/meshes; closedness, extents and volumes by test/support/plain-stl, which shares nothing with src.
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { Plan } from '../../src/workshop/book/plan-record.ts';
import { runCommandLine } from '../support/command.ts';
import { checkPieces } from '../support/kit-check.ts';

const MESHES = '../shared/meshes';
const folder = mkdtempSync(join(tmpdir(), 'helmwright-open-models-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const MODELS: readonly (readonly [name: string, file: string, options: string])[] = [
  ['the large respirator mask', 'papr_large_mask/P-TET-000120-1 Large Mask.stl', '--height 200'],
  ['the skull', 'skull/skull.obj', '--height 230'],
  ['the inside-out head form, given a wall', 'headform_inside_out/head.off', '--height 300 --openings wall --wall 3'],
  ['the bust', 'demosthenes_bust/demosthenes-low-res.obj', '--height 400'],
  ['the boot', 'boot/boot.obj', '--height 280'],
  ['the goat head', 'goat_head/goathead.obj', '--height 300'],
  ['the crossing bones', 'bones/bones.off', '--height 300'],
  [
    'the flying helmet of 85 shells on its stand',
    'flight_helmet/FlightHelmet.gltf',
    '--up +y --front +z --height 716 --openings close --least-section 0',
  ],
];

describe.skipIf(!existsSync(MESHES) || process.env.HELMWRIGHT_MODELS !== 'all')(
  'open models on a small bed (npm run check:models; skipped when ../shared is not there)',
  () => {
    it.each(MODELS)(
      '%s',
      async (name, file, options) => {
        const out = join(folder, name.replace(/\W+/g, '-'));
        const bed = ['--bed', '180x180x180', '--plain', '--out', out];
        const ran = await runCommandLine(['plan', join(MESHES, file), ...options.split(' '), ...bed]);
        expect(ran.code, ran.err).toBe(0);
        const check = checkPieces(out);
        expect(check.badEdges).toBe(0);
        expect(check.overMm).toBeLessThanOrEqual(0);
        expect(check.volumeOff).toBeLessThan(1e-6);
        const plan = JSON.parse(readFileSync(join(out, 'plan.json'), 'utf8')) as Plan;
        const height = Number(/--height (\d+)/.exec(options)![1]);
        expect(plan.model.sizeMm[2]).toBeCloseTo(height, 3);
      },
      300_000,
    );
  },
);
