// A written kit judged by its files alone: sound pieces, and seams that hide better than the better grid's.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { volume } from '../../src/mesh/measure.ts';
import { runCommandLine } from '../support/command.ts';
import { hasSharedMeshes, seamModel } from '../support/pieces/seam-models.ts';
import { roomOf, type Size } from '../support/seam-evaluator/fit.ts';
import { kitPieces } from '../support/seam-evaluator/kit-pieces.ts';
import { pricedModel } from '../support/seam-evaluator/priced-model.ts';
import { badEdgesOf, selfCrossings, standsOutMm, volumeOff } from '../support/seam-evaluator/sound-pieces.ts';
import { bestGrids, betterGrid } from '../support/seam-evaluator/uniform-grid.ts';
import { writtenSeams } from '../support/seam-evaluator/written-seams.ts';

const BED: Size = [220, 220, 250];
const folder = mkdtempSync(join(tmpdir(), 'helmwright-seams-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe.skipIf(!hasSharedMeshes)('the kit of the goat head (skipped when ../shared is not there)', () => {
  it('closed, inside the bed, nothing lost, no crossing, and cheaper than the grid with fewer pieces', async () => {
    const file = '../shared/meshes/goat_head/goathead.obj';
    const standing = ['--up=+y', '--front=-x', '--height', '300'];
    const ran = await runCommandLine(['plan', file, ...standing, '--bed', BED.join('x'), '--plain', '--out', folder]);
    expect(ran.code, ran.err).toBe(0);
    const pieces = kitPieces(folder);
    const laid = pieces.map((piece) => piece.laid);
    const posed = pieces.map((piece) => piece.posed);
    const { mesh } = await seamModel('goat');
    expect(badEdgesOf(laid)).toBe(0);
    expect(volumeOff(laid, volume(mesh))).toBeLessThan(1e-6);
    for (const piece of laid) {
      expect(standsOutMm(piece, roomOf(BED))).toBeLessThan(1e-4);
      expect(selfCrossings(piece)).toBe(0);
    }
    const priced = pricedModel(mesh);
    const grid = betterGrid(bestGrids(priced, roomOf(BED)));
    const seams = writtenSeams(priced, posed);
    expect(seams.pieces).toBeLessThan(grid.pieces);
    expect(seams.costMm).toBeGreaterThan(0);
    expect(seams.costMm / grid.costMm).toBeLessThanOrEqual(0.7);
  });
});
