// One model of the open set through the reader and the mender, in a process of its own: prints what came of it as JSON.
import { existsSync, readFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import type { Finding } from '../../src/base/findings.ts';
import { QUIET_WORK } from '../../src/base/work.ts';
import { readModel } from '../../src/documents/read-model.ts';
import { selfCrossings } from '../../src/geometry/crossings/self-crossings.ts';
import { type Defects, findDefects } from '../../src/geometry/mend/find-defects.ts';
import { cornerFans } from '../../src/mesh/corner-fans.ts';
import { edgeRings } from '../../src/mesh/edge-rings.ts';
import { surfaceArea, volume } from '../../src/mesh/measure.ts';
import { type Mesh, numTris, numVerts } from '../../src/mesh/mesh.ts';
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

/** Handles of all shells together, each opening counted as closed by a lid and each fan as a point of its own; NaN where edges have
 *  more than two faces or faces run against each other. From Euler's formula: fans - edges + faces = 2 shells - 2 genus - loops. */
function genusOf(mesh: Mesh, { shells, openEdges, crowdedEdges, clashingEdges, openLoops }: Defects): number {
  if (crowdedEdges.count > 0 || clashingEdges.count > 0) return Number.NaN;
  const fans = cornerFans(mesh, edgeRings(mesh)).reduce((sum, fan, corner) => sum + (fan === corner ? 1 : 0), 0);
  const edges = (3 * numTris(mesh) + openEdges.count) / 2;
  return shells - (fans - edges + numTris(mesh) + openLoops) / 2;
}

function measuredOf(findings: readonly Finding[], code: string): number {
  return findings.find((finding) => finding.code === code)?.measured ?? 0;
}

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
  const counts = {
    // As the file has them: with those that fell together and those that are no numbers.
    triangles:
      numTris(mesh) +
      measuredOf(read.findings, 'TRIANGLES_COLLAPSED') +
      measuredOf(read.findings, 'CORNERS_NOT_FINITE'),
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
    genus: genusOf(mesh, defects),
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
