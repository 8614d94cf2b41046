// One model of the open set through the reader and the mender, in a process of its own: prints what came of it as JSON.
import { existsSync, readFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { QUIET_WORK } from '../../src/base/work.ts';
import { readModel } from '../../src/documents/read-model.ts';
import { findDefects } from '../../src/geometry/mend/find-defects.ts';
import { selfCrossings } from '../../src/geometry/self-crossings.ts';
import { surfaceArea, volume } from '../../src/mesh/measure.ts';
import { numTris, numVerts } from '../../src/mesh/mesh.ts';
import { surfaceCheck } from '../../src/mesh/topology.ts';
import { ModelMend } from '../../src/workshop/model/model-settings.ts';
import { soundSolid } from '../../src/workshop/model/sound-solid.ts';
import { testKernel } from '../../test/support/kernel.ts';

export interface OneModel {
  readonly read: {
    readonly ok: boolean;
    readonly format: string;
    readonly unit: string;
    readonly codes: readonly string[];
    readonly why: string;
  };
  /** As read, before anything was mended; null when it was not read. */
  readonly counts: Readonly<Record<string, number>> | null;
  readonly result: string;
  readonly findings: readonly string[];
  readonly repairs: readonly string[];
  readonly seconds: number;
  readonly peakMb: number;
}

const file = process.argv[2]!;
const startMb = process.resourceUsage().maxRSS / 1024;
const kernel = await testKernel();
const begun = performance.now();
const answer = look();
const seconds = (performance.now() - begun) / 1000;
process.stdout.write(
  `${JSON.stringify({ ...answer, seconds, peakMb: Math.max(0, process.resourceUsage().maxRSS / 1024 - startMb) })}\n`,
);

function look(): Omit<OneModel, 'seconds' | 'peakMb'> {
  const bytes = new Uint8Array(readFileSync(file));
  const read = readModel(bytes, {
    // Counts are compared in the units of the file.
    unit: 'mm',
    resources: (name) => {
      const beside = join(dirname(file), basename(name));
      return existsSync(beside) ? new Uint8Array(readFileSync(beside)) : null;
    },
  });
  if (!read.ok)
    return {
      read: { ok: false, format: '', unit: '', codes: [read.code], why: read.why },
      counts: null,
      result: `not read: ${read.code}`,
      findings: [],
      repairs: [],
    };
  const { mesh, format, unit } = read.value;
  const defects = findDefects(mesh);
  const crossings = selfCrossings(mesh);
  const check = surfaceCheck(mesh);
  const counts = {
    triangles: numTris(mesh),
    vertices: numVerts(mesh),
    shells: defects.shells,
    openEdges: defects.openEdges.count,
    crowdedEdges: defects.crowdedEdges.count,
    clashingEdges: defects.clashingEdges.count,
    pinchedVerts: defects.pinchedVerts.count,
    doubleTriangles: defects.doubleTriangles.count,
    openLoops: defects.openLoops,
    crossings: crossings.pairs,
    crossed: crossings.triangles,
    genus: check.manifold ? check.genus : -1,
    area: surfaceArea(mesh),
    volume: volume(mesh),
  };
  const sound = soundSolid(mesh, ModelMend.parse({}), { ...QUIET_WORK, solid: kernel });
  return {
    read: { ok: true, format, unit, codes: read.findings.map(({ code }) => code), why: '' },
    counts,
    result: sound.ok ? (sound.value.steps.length === 0 ? 'sound as it came' : 'mended') : `asks: ${sound.code}`,
    findings: sound.ok ? sound.findings.map(({ code }) => code) : [sound.why],
    repairs: sound.ok ? sound.value.steps.map(({ kind, count }) => `${count} ${kind}`) : [],
  };
}
