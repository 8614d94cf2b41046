// How soon a reader sees something: the draft figure, the first chapter, the whole answer, and a book that was computed before.
// Seconds on the clock, as a reader waits them, beside what they are made of: one pass that only reads and welds the same file.
import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build as bundle } from 'esbuild';
import { openAnswerShelf } from '../src/app/worker/answer-shelf.ts';
import { type Engine, type EngineHooks, openEngine } from '../src/app/worker/engine-host.ts';
import { draftFigure } from '../src/app/worker/figure-of.ts';
import type { Answer } from '../src/app/worker/protocol.ts';
import { readModel } from '../src/documents/read-model.ts';
import { type Build, newBuild } from '../src/workshop/book/build-file.ts';

const SIZES = process.argv.length > 2 ? process.argv.slice(2).map(Number) : [200_000, 1_000_000];
const built = resolve('dist-bench');
const folder = mkdtempSync(join(tmpdir(), 'helmwright-bench-'));
mkdirSync(built, { recursive: true });
await bundle({
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  packages: 'external',
  jsx: 'automatic',
  logLevel: 'warning',
  entryPoints: { 'engine-thread': 'src/app/worker/engine-thread.ts' },
  outdir: built,
});
const script = pathToFileURL(join(built, 'engine-thread.js'));

for (const triangles of SIZES) {
  const cacheFolder = join(folder, `cache-${triangles}`);
  const engine = openEngine({ cacheFolder, script, webAssets: '', kernelLimitS: 120 });
  const model = await engine.makeDemo({ shape: 'keepers-helm', triangles });
  const path = join(folder, `model-${triangles}`);
  writeFileSync(path, model);
  const sha256 = createHash('sha256').update(model).digest('hex');
  const build = newBuild({ name: 'Keeper’s helm', file: 'keepers-helm.stl', sha256 });
  console.log(`a helm of ${triangles} triangles, ${(model.length / 1e6).toFixed(0)} MB`);
  alone(path);
  const answer = await timed(engine, { build, path, what: 'first time' });
  console.log(
    `  figure ${mb(answer.figure.length)}, text ${kb(JSON.stringify(answer.text).length)}, drawings ${kb(JSON.stringify(answer.drawings).length)}`,
  );
  await timed(engine, {
    build: { ...build, print: { ...build.print, layerMm: 0.28 } },
    path,
    what: 'another layer height',
  });
  await engine.close();
  opened(build, cacheFolder);
}
rmSync(folder, { recursive: true, force: true });
rmSync(built, { recursive: true, force: true });

/** What a draft is made of, in this thread, the least of three. */
function alone(path: string): void {
  let [read, thin] = [Infinity, Infinity];
  for (let turn = 0; turn < 3; turn++) {
    const start = performance.now();
    const model = readModel(readFileSync(path));
    if (!model.ok) throw new Error(model.why);
    const between = performance.now();
    draftFigure(model.value.mesh);
    thin = Math.min(thin, performance.now() - between);
    read = Math.min(read, between - start);
  }
  console.log(`  alone: read and weld ${(read / 1000).toFixed(2)} s, thin for the draft ${(thin / 1000).toFixed(2)} s`);
}

async function timed(engine: Engine, job: { build: Build; path: string; what: string }): Promise<Answer> {
  const start = performance.now();
  const at: string[] = [];
  const note = (what: string): void => void at.push(`${what} ${((performance.now() - start) / 1000).toFixed(2)}`);
  const hooks: EngineHooks = {
    draft: (figure) => note(`draft of ${mb(figure.length)}`),
    chapter: ({ name }) => note(name),
  };
  const answer = await engine.run({ build: job.build, model: job.path, want: 'book' }, hooks);
  if ('ok' in answer) throw new Error(answer.why);
  note('whole answer');
  console.log(`  ${job.what}, seconds after asking: ${at.join(', ')}`);
  return answer;
}

function opened(build: Build, cacheFolder: string): void {
  const start = performance.now();
  const shelf = openAnswerShelf({ cacheFolder, script });
  const ready = performance.now();
  const answer = shelf.get(build);
  const text = performance.now();
  const figure = shelf.figure(build);
  const all = performance.now();
  if (answer === undefined || figure === undefined) throw new Error('the answer was not kept');
  console.log(
    `  kept answer: shelf ${(ready - start).toFixed(1)} ms, text and drawings ${(text - ready).toFixed(1)} ms, figure ${(all - text).toFixed(1)} ms`,
  );
}

function mb(bytes: number): string {
  return `${(bytes / 1e6).toFixed(2)} MB`;
}

function kb(bytes: number): string {
  return `${(bytes / 1e3).toFixed(0)} kB`;
}
