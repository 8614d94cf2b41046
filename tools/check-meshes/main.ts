// A table over every file of the open set: what was read, found and mended, how long it took; and whether the counts agree with the
// catalogue. Exit code 1 when a file crashes or hangs, when a count differs that is not expected to, or an expected difference is gone.
import { spawn } from 'node:child_process';
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { build } from 'esbuild';
import { type CataloguedFile, cataloguedFiles, type Measured } from './catalogue.ts';
import type { OneModel } from './one-model.ts';

const FOLDER = process.env.OPEN_MESHES ?? '../shared/meshes';
const LIMIT_S = 60;
const AT_ONCE = 2;

/** One file that is known to be counted otherwise, and why. At most five; checked to the number. */
interface Expected {
  readonly file: string;
  readonly ours: Readonly<Record<string, number>>;
  readonly why: string;
}
const MOST_EXPECTED = 5;

/** Ours, and what the catalogue calls it. */
const COMPARED: readonly (readonly [ours: string, theirs: (m: Measured) => number | undefined])[] = [
  ['triangles', (m) => m.triangles_in_file],
  ['vertices', (m) => m.vertices_welded],
  ['shells', (m) => m.shells_by_edge],
  ['openEdges', (m) => m.open_edges],
  ['crowdedEdges', (m) => m.edges_over_2_faces],
  ['clashingEdges', (m) => m.orientation_clash_edges],
  ['pinchedVerts', (m) => m.nonmanifold_vertices],
  ['doubleTriangles', (m) => m.duplicate_triangles],
  ['openLoops', (m) => m.boundary_loops],
  ['genus', (m) => (m.edges_over_2_faces === 0 && m.orientation_clash_edges === 0 ? m.genus_total : undefined)],
  ['crossings', (m) => m.self_intersection?.intersecting_pairs],
  ['crossed', (m) => m.self_intersection?.triangles_involved],
];

if (!existsSync(join(FOLDER, 'catalogue.json'))) {
  process.stdout.write(`The open set is not at ${FOLDER}: nothing was checked.\n`);
  process.exit(0);
}
const wanted = process.argv[2];
const files = cataloguedFiles(FOLDER).filter(({ file }) => wanted === undefined || file.includes(wanted));
const expected = (
  JSON.parse(readFileSync(join(import.meta.dirname, 'expected-differences.json'), 'utf8')) as Expected[]
).filter(({ file }) => files.some((each) => each.file === file));
// One program for all of them: each process would else read and strip a hundred sources before it begins. Inside the project, so that it
// finds the packages it does not carry.
const script = resolve(`node_modules/.cache/helmwright/one-model-${process.pid}.mjs`);
await build({
  entryPoints: [join(import.meta.dirname, 'one-model.ts')],
  outfile: script,
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  packages: 'external',
  logLevel: 'warning',
});
const rows = await allOf(files).finally(() => rmSync(script, { force: true }));
const differences = rows.flatMap(differencesOf);
const unexpected = differences.filter((d) => !expected.some((e) => e.file === d.file && e.ours[d.count] === d.ours));
const gone = expected.flatMap((e) =>
  Object.entries(e.ours)
    .filter(([count, ours]) => !differences.some((d) => d.file === e.file && d.count === count && d.ours === ours))
    .map(([count]) => ({ file: e.file, count })),
);
if (expected.length > MOST_EXPECTED) throw new Error(`no more than ${MOST_EXPECTED} files may be expected to differ`);
const failed = rows.filter(({ answer }) => 'failure' in answer);
const table = tableOf(rows);
process.stdout.write(`${table}\n`);
if (process.env.TABLE_TO !== undefined) writeFileSync(process.env.TABLE_TO, `${table}\n`);
for (const { file, answer } of failed) process.stdout.write(`FAILED ${file}: ${(answer as Failure).failure}\n`);
for (const d of unexpected)
  process.stdout.write(`DIFFERS ${d.file}: ${d.count} is ${d.ours}, the catalogue says ${d.catalogue}\n`);
for (const e of gone) process.stdout.write(`GONE ${e.file}: ${e.count} no longer differs; strike it from the list\n`);
const counted = rows.filter(
  ({ measured, answer }) => measured !== null && 'counts' in answer && answer.counts !== null,
).length;
process.stdout.write(
  `${rows.length} files, ${counted} compared with the catalogue, ${differences.length - unexpected.length} expected differences, ${failed.length + unexpected.length + gone.length} failed\n`,
);
process.exitCode = failed.length + unexpected.length + gone.length === 0 ? 0 : 1;

interface Failure {
  readonly failure: string;
}
interface Row extends CataloguedFile {
  readonly answer: OneModel | Failure;
}

async function allOf(list: readonly CataloguedFile[]): Promise<readonly Row[]> {
  const rows: Row[] = [];
  let next = 0;
  const worker = async (): Promise<void> => {
    while (next < list.length) {
      const at = next++;
      rows[at] = { ...list[at]!, answer: await lookAt(join(FOLDER, list[at]!.file)) };
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, worker));
  return rows;
}

function lookAt(path: string): Promise<OneModel | Failure> {
  const child = spawn(process.execPath, [script, path]);
  let [out, err] = ['', ''];
  child.stdout.on('data', (chunk: Buffer) => {
    out += chunk.toString();
  });
  child.stderr.on('data', (chunk: Buffer) => {
    err += chunk.toString();
  });
  return new Promise((resolve) => {
    const late = setTimeout(() => {
      child.kill('SIGKILL');
      resolve({ failure: `no answer within ${LIMIT_S} s` });
    }, LIMIT_S * 1000);
    child.on('close', (code) => {
      clearTimeout(late);
      if (code === 0) resolve(JSON.parse(out) as OneModel);
      else resolve({ failure: `ended with ${code}: ${err.trim().split('\n').slice(0, 6).join(' | ')}` });
    });
  });
}

function differencesOf({
  file,
  measured,
  answer,
}: Row): { file: string; count: string; ours: number; catalogue: number }[] {
  if (measured === null || 'failure' in answer || answer.counts === null) return [];
  const counts = answer.counts;
  return COMPARED.flatMap(([count, theirs]) => {
    const catalogue = theirs(measured);
    const ours = counts[count]!;
    return catalogue === undefined || catalogue === ours ? [] : [{ file, count, ours, catalogue }];
  });
}

function tableOf(all: readonly Row[]): string {
  const lines = all.map(({ file, answer }) => {
    if ('failure' in answer) return `| ${file} | failed | | | | |`;
    const { counts, result, findings, repairs, seconds, peakMb } = answer;
    return `| ${file} | ${counts?.triangles ?? 0} | ${result} | ${[...new Set([...answer.read.codes, ...findings])].join(', ')} | ${repairs.join(', ')} | ${seconds.toFixed(2)} | ${peakMb.toFixed(0)} |`;
  });
  return [
    '| file | triangles | result | findings | repairs | seconds | peak MB |',
    '|---|---|---|---|---|---|---|',
    ...lines,
  ].join('\n');
}
