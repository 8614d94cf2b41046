// The chapters of today and what each reads of the build file.
import { computeAssembly } from '../assembly/assembly.ts';
import { computeBeds } from '../beds/beds.ts';
import { softWallMm } from '../facts/materials.ts';
import { computeModel } from '../model/model.ts';
import { computeJoints, computePieces } from '../pieces/pieces.ts';
import { computePrinting } from '../printing/printing.ts';
import type { AskedOfSeams } from '../process/asked-seams.ts';
import { type Machine, printingMachine } from '../process/machine.ts';
import { computeSurface } from '../surface/surface.ts';
import { computeWearer } from '../wearer/wearer.ts';
import { defineChapter } from './chapter.ts';

/** What a seam or an area is called changes nothing of what is computed. */
function withoutNames(asked: AskedOfSeams): AskedOfSeams {
  return {
    ...asked,
    clear: asked.clear.map((area) => ({ ...area, name: '' })),
    seams: asked.seams.map((seam) => ({ ...seam, name: '' })),
  };
}

/** Grams are learnt from prints in the same material only: another one may be denser than its data sheet says. */
function weighedIn(machine: Machine, material: string): Machine {
  const measured = machine.measured.map((print) =>
    print.material === material ? print : { ...print, weighedG: null },
  );
  return { ...machine, measured };
}

export const CHAPTERS = {
  model: defineChapter({
    name: 'model',
    needs: [],
    revision: 3,
    settingsOf: (build, source) => ({ mesh: source.mesh, level: build.model.level, mend: build.model.mend }),
    compute: (_inputs, settings, work) => computeModel(settings, work),
  }),
  wearer: defineChapter({
    name: 'wearer',
    needs: ['model'],
    revision: 3,
    settingsOf: (build) => ({ ...build.wearer, nozzleMm: Math.min(...build.machines.map(({ nozzleMm }) => nozzleMm)) }),
    compute: (inputs, settings, work) => computeWearer(inputs, settings, work),
  }),
  pieces: defineChapter({
    name: 'pieces',
    needs: ['wearer'],
    revision: 8,
    settingsOf: (build) => ({
      ...build.pieces,
      asked: withoutNames(build.pieces.asked),
      beds: build.machines.map(({ id, bedMm }) => ({ id, bedMm })),
    }),
    compute: (inputs, settings, work) => computePieces(inputs, settings, work),
  }),
  joints: defineChapter({
    name: 'joints',
    needs: ['wearer', 'pieces'],
    revision: 5,
    settingsOf: ({ joints, pieces, machines }) => ({
      ...joints,
      asked: joints.asked.map((one) => ({ ...one, name: '' })),
      machines: machines.map(({ id, bedMm, nozzleMm, clearanceMm }) => ({ id, bedMm, nozzleMm, clearanceMm })),
      marginMm: pieces.marginMm,
    }),
    compute: (inputs, settings, work) => computeJoints(inputs, settings, work),
  }),
  printing: defineChapter({
    name: 'printing',
    needs: ['wearer', 'pieces', 'joints'],
    revision: 17,
    settingsOf: ({ print, machines, material, pieces, poses }) => ({
      print,
      marginMm: pieces.marginMm,
      poses: { asked: poses.asked.map((one) => ({ ...one, name: '' })) },
      machines: machines.map((machine) => printingMachine(weighedIn(machine, material.id))),
      material: { densityGCm3: material.densityGCm3, filamentMm: material.filamentMm },
    }),
    compute: (inputs, settings, work) => computePrinting(inputs, settings, work),
  }),
  beds: defineChapter({
    name: 'beds',
    needs: ['joints', 'printing'],
    revision: 2,
    settingsOf: ({ beds, print, machines, material, pieces }) => ({
      ...beds,
      machines: machines.map(printingMachine),
      marginMm: pieces.marginMm,
      packG: material.packG,
      print: {
        layerMm: print.layerMm,
        firstLayerMm: print.firstLayerMm,
        hoursAFailure: print.hoursAFailure,
        firstLayerFailPercent: print.firstLayerFailPercent,
      },
    }),
    compute: (inputs, settings, work) => computeBeds(inputs, settings, work),
  }),
  assembly: defineChapter({
    name: 'assembly',
    needs: ['pieces', 'joints'],
    revision: 3,
    settingsOf: (build) => build.assembly,
    compute: (inputs, settings, work) => computeAssembly(inputs, settings, work),
  }),
  surface: defineChapter({
    name: 'surface',
    needs: ['wearer', 'pieces', 'joints', 'printing'],
    revision: 6,
    settingsOf: ({ surface, print, material, beds }) => ({
      ...surface,
      hours: { startsH: beds.startsH, fromH: beds.wakingFromH, toH: beds.wakingToH },
      softMm: surface.softMm ?? softWallMm(material.id),
      layerMm: print.layerMm,
    }),
    compute: (inputs, settings, work) => computeSurface(inputs, settings, work),
  }),
} as const;
