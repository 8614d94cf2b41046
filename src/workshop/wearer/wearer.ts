// The door of the Wearer chapter: at which size is the shell worn, and which head goes in?
import { z } from 'zod';
import { done, type Finding, finding, type Outcome, refuse } from '../../base/findings.ts';
import { partOfWork } from '../../base/work.ts';
import { surfaceArea, volume } from '../../mesh/measure.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { HEAD_CIRCUMFERENCE_MM, ringMm, USUAL_CLEARANCE_MM } from '../facts/heads.ts';
import { thinnestWallMm } from '../facts/walls.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { ModelRecord } from '../process/model-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import { type Brow, browAt, findBrow } from './brow.ts';
import { thinFindings } from './thin-findings.ts';
import { wornShell } from './worn-shell.ts';

const clearance = z
  .number()
  .min(0)
  .max(60)
  .default(USUAL_CLEARANCE_MM)
  .describe('Air or padding between head and shell on every side, mm');

export const WearerSize = z.discriminatedUnion('by', [
  z.strictObject({
    by: z.literal('scale'),
    scale: z.number().min(0.05).max(20).default(1).describe('Worn size over the size of the file'),
  }),
  z.strictObject({
    by: z.literal('height'),
    heightMm: z.number().min(20).max(1500).describe('Height from foot to top, mm'),
  }),
  z.strictObject({
    by: z.literal('head'),
    circumferenceMm: z
      .number()
      .min(HEAD_CIRCUMFERENCE_MM.least)
      .max(HEAD_CIRCUMFERENCE_MM.most)
      .default(580)
      .describe('Tape round the head at the brow, mm'),
    clearanceMm: clearance,
  }),
]);
export type WearerSize = z.infer<typeof WearerSize>;

export const WearerSettings = z.strictObject({
  size: WearerSize,
  browFromTopMm: z
    .number()
    .min(10)
    .max(600)
    .optional()
    .describe('Brow below the top of the shell at worn size, mm; left out: just above the face opening'),
  wallMm: z
    .number()
    .min(0.4)
    .max(40)
    .nullable()
    .default(null)
    .describe('Wall at worn size, mm, kept by moving the inner surface; null: the wall grows with the model'),
});
export type WearerSettings = z.infer<typeof WearerSettings>;

/** Scales the levelled shell and measures the inner girth at the brow. The head that fits is the girth less 2 pi times the
 *  clearance. By head, the scale follows from that in closed form, as a girth grows with the scale (with browFromTopMm, which is
 *  given at worn size, by repeating it until it stays). Refuses HEAD_NEEDS_HOLLOW.
 *  Cost: about 40 sections. Method: docs/methods/inner-girth.md. */
export function computeWearer(
  inputs: { readonly model: ModelRecord },
  settings: WearerSettings & { readonly nozzleMm: number },
  work: ChapterWork,
): Outcome<WearerRecord> {
  const { model } = inputs;
  const mesh = work.meshes.get(model.mesh);
  work.tick(0, 'measuring the inside');
  const sized = sizeIt(model, mesh, settings);
  if (!sized.ok) return sized;
  const { scale, brow } = sized.value;
  work.tick(0.3, 'scaling');
  const shell = wornShell({ model, mesh, scale, wallMm: settings.wallMm }, partOfWork(work, 0.3, 0.9));
  const clearanceMm = settings.size.by === 'head' ? settings.size.clearanceMm : USUAL_CLEARANCE_MM;
  const record: WearerRecord = {
    kind: 'wearer',
    version: 2,
    mesh: work.meshes.put(shell.mesh),
    scale,
    sizeMm: [model.sizeMm[0] * scale, model.sizeMm[1] * scale, model.sizeMm[2] * scale],
    volumeMm3: volume(shell.mesh),
    areaMm2: surfaceArea(shell.mesh),
    wallMm: shell.middleWallMm,
    wallKept: settings.wallMm !== null,
    symmetry:
      model.symmetry === null
        ? null
        : { normal: model.symmetry.plane.normal, offsetMm: model.symmetry.plane.offsetMm * scale },
    girth: girthOf(brow, scale, clearanceMm),
  };
  const thin = thinFindings(shell, thinnestWallMm(settings.nozzleMm), work);
  return done(record, [...shell.findings, ...thin, ...scaleFindings(scale)]);
}

interface Sized {
  readonly scale: number;
  readonly brow: Brow | null;
}

function sizeIt(model: ModelRecord, mesh: Mesh, settings: WearerSettings): Outcome<Sized> {
  const { size } = settings;
  if (size.by === 'head') return sizeByHead(model, mesh, { ...settings, size });
  const scale = size.by === 'scale' ? size.scale : size.heightMm / model.sizeMm[2];
  return done({ scale, brow: browOf(model, mesh, settings.browFromTopMm, scale) });
}

/** A brow is looked for only where there is a hollow; a given one is measured from the top at worn size. */
function browOf(model: ModelRecord, mesh: Mesh, browFromTopMm: number | undefined, scale: number): Brow | null {
  if (!model.openings.some((opening) => opening.name === 'neck')) return null;
  if (browFromTopMm === undefined) return findBrow(model, mesh);
  const browMm = model.sizeMm[2] - browFromTopMm / scale;
  return browMm > 0 ? browAt(mesh, browMm) : null;
}

/** Rounds after which a given brow is taken to have settled; each changes the scale by less than a tenth of the one before. */
const MOST_ROUNDS = 40;

function sizeByHead(
  model: ModelRecord,
  mesh: Mesh,
  settings: WearerSettings & { readonly size: { by: 'head'; circumferenceMm: number; clearanceMm: number } },
): Outcome<Sized> {
  const { circumferenceMm, clearanceMm } = settings.size;
  const aimMm = circumferenceMm + ringMm(clearanceMm);
  let scale = 1;
  let brow = browOf(model, mesh, settings.browFromTopMm, scale);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    if (brow === null) break;
    const next = aimMm / brow.outline.lengthMm;
    const settled = Math.abs(next - scale) < 1e-9 * scale;
    scale = next;
    if (settings.browFromTopMm === undefined || settled) return done({ scale, brow });
    brow = browOf(model, mesh, settings.browFromTopMm, scale);
  }
  return refuse(
    'HEAD_NEEDS_HOLLOW',
    brow === null
      ? 'At brow height the model has no hollow that a tape could be laid round.'
      : 'No size was found at which the given brow height and the head agree.',
  );
}

function girthOf(brow: Brow | null, scale: number, clearanceMm: number): WearerRecord['girth'] {
  if (brow === null) return null;
  const innerMm = brow.outline.lengthMm * scale;
  return { browMm: brow.browMm * scale, innerMm, headMm: innerMm - ringMm(clearanceMm), clearanceMm };
}

function scaleFindings(scale: number): Finding[] {
  const out: Finding[] = [];
  const where = { path: 'wearer' };
  if (scale < 0.5 || scale > 2) {
    const say = `Worn at ${scale.toFixed(3)} times the size of the file: check the unit of the file.`;
    out.push(finding('SCALE_ODD', say, { where, measured: scale, limit: scale < 1 ? 0.5 : 2, unit: 'times' }));
  }
  return out;
}
