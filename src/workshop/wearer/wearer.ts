// The door of the Wearer chapter: at which size is the shell worn, and which head goes in?
import { z } from 'zod';
import { done, type Finding, finding, type Outcome, refuse } from '../../base/findings.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { type Transform, transformMesh } from '../../mesh/transform.ts';
import { HEAD_CIRCUMFERENCE_MM, ringMm, USUAL_CLEARANCE_MM } from '../facts/heads.ts';
import { THINNEST_WALL_MM } from '../facts/walls.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { ModelRecord } from '../process/model-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import { type Brow, browAt, findBrow } from './brow.ts';

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
});
export type WearerSettings = z.infer<typeof WearerSettings>;

/** Scales the levelled shell and measures the inner girth at the brow. The head that fits is the girth less 2 pi times the
 *  clearance. By head, the scale follows from that in closed form, as a girth grows with the scale (with browFromTopMm, which is
 *  given at worn size, by repeating it until it stays). Refuses HEAD_NEEDS_HOLLOW.
 *  Cost: about 40 sections. Method: docs/methods/inner-girth.md. */
export function computeWearer(
  inputs: { readonly model: ModelRecord },
  settings: WearerSettings,
  work: ChapterWork,
): Outcome<WearerRecord> {
  const { model } = inputs;
  const mesh = work.meshes.get(model.mesh);
  work.tick(0, 'measuring the inside');
  const sized = sizeIt(model, mesh, settings);
  if (!sized.ok) return sized;
  const { scale, brow } = sized.value;
  work.tick(0.8, 'scaling');
  const clearanceMm = settings.size.by === 'head' ? settings.size.clearanceMm : USUAL_CLEARANCE_MM;
  const record: WearerRecord = {
    kind: 'wearer',
    version: 1,
    mesh: scale === 1 ? model.mesh : work.meshes.put(transformMesh(scaleBy(scale), mesh)),
    scale,
    sizeMm: [model.sizeMm[0] * scale, model.sizeMm[1] * scale, model.sizeMm[2] * scale],
    volumeMm3: model.volumeMm3 * scale ** 3,
    areaMm2: model.areaMm2 * scale ** 2,
    wallMm: model.wallMm.p50 * scale,
    symmetry:
      model.symmetry === null
        ? null
        : { normal: model.symmetry.plane.normal, offsetMm: model.symmetry.plane.offsetMm * scale },
    girth: girthOf(brow, scale, clearanceMm),
  };
  return done(record, findingsOf(model, scale));
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

function findingsOf(model: ModelRecord, scale: number): Finding[] {
  const out: Finding[] = [];
  const where = { path: 'wearer' };
  const thinMm = model.wallMm.p5 * scale;
  if (scale < 1 && thinMm < THINNEST_WALL_MM) {
    const say = `At ${scale.toFixed(3)} times the file, a twentieth of the surface has ${thinMm.toFixed(2)} mm of wall or less behind it.`;
    out.push(finding('WALL_THIN_AFTER_SCALE', say, { where, measured: thinMm, limit: THINNEST_WALL_MM, unit: 'mm' }));
  }
  if (scale < 0.5 || scale > 2) {
    const say = `Worn at ${scale.toFixed(3)} times the size of the file: check the unit of the file.`;
    out.push(finding('SCALE_ODD', say, { where, measured: scale, limit: scale < 1 ? 0.5 : 2, unit: 'times' }));
  }
  return out;
}

function scaleBy(scale: number): Transform {
  return [scale, 0, 0, 0, scale, 0, 0, 0, scale, 0, 0, 0];
}
