// Runs broken files through the readers, watched from outside: npm run fuzz -- --count 200000 --seed 1 [--from 0].
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { fuzzInput } from '../test/faults/fuzz-inputs.ts';
import { verdictOn } from '../test/faults/fuzz-verdict.ts';

interface Run {
  readonly seed: number;
  readonly from: number;
  readonly count: number;
}

interface Summary {
  readonly failures: readonly string[];
  readonly codes: Readonly<Record<string, number>>;
  readonly slowest: { readonly ms: number; readonly what: string };
}

/** No input may keep the reader busy longer; the process ends then, since the thread cannot. */
const HANG_MS = 10_000;
/** Beyond this, one small broken file takes too long. */
const MAX_MS = 2000;
const MAX_RSS_MB = 1500;

/** A thread does not inherit the loader that reads TypeScript. */
const THREAD = `import('tsx/esm/api').then(({ register }) => {
  register();
  return import(require('node:worker_threads').workerData.script);
});`;

if (isMainThread) await watch(asked());
else runAll(workerData as { run: Run; progress: Int32Array });

function asked(): Run {
  const option = (name: string, otherwise: number) => {
    const at = process.argv.indexOf(`--${name}`);
    const value = at < 0 ? otherwise : Number(process.argv[at + 1]);
    if (Number.isSafeInteger(value) && value >= 0) return value;
    throw new Error(`--${name} needs a whole number`);
  };
  return { seed: option('seed', 1), from: option('from', 0), count: option('count', 200_000) };
}

async function watch(run: Run): Promise<void> {
  const start = performance.now();
  const progress = new Int32Array(new SharedArrayBuffer(4));
  const worker = new Worker(THREAD, { eval: true, workerData: { run, progress, script: import.meta.url } });
  let seen = -1;
  let since = start;
  let peakMb = 0;
  const watcher = setInterval(() => {
    const now = performance.now();
    peakMb = Math.max(peakMb, process.memoryUsage.rss() / 1e6);
    if (progress[0] !== seen) {
      seen = progress[0]!;
      since = now;
    } else if (now - since > HANG_MS) give(`input ${seen} of seed ${run.seed} hangs`);
    if (peakMb > MAX_RSS_MB) give(`input ${seen} of seed ${run.seed}: ${Math.round(peakMb)} MB in use`);
  }, 200);
  const summary = await new Promise<Summary>((resolve, reject) => {
    worker.once('message', resolve);
    worker.once('error', reject);
  });
  clearInterval(watcher);
  const seconds = (performance.now() - start) / 1000;
  console.log(
    `${run.count} inputs of seed ${run.seed} from ${run.from} in ${seconds.toFixed(1)} s, peak ${Math.round(peakMb)} MB`,
  );
  console.log(`slowest ${summary.slowest.ms.toFixed(0)} ms: ${summary.slowest.what}`);
  for (const [code, count] of Object.entries(summary.codes).sort((a, b) => b[1] - a[1]))
    console.log(`  ${code} ${count}`);
  for (const failure of summary.failures) console.log(`FAILED ${failure}`);
  console.log(summary.failures.length === 0 ? 'no failure' : `${summary.failures.length} failures`);
  process.exitCode = summary.failures.length === 0 ? 0 : 1;
}

function give(up: string): never {
  console.log(`FAILED ${up}`);
  process.exit(1);
}

function runAll({ run, progress }: { run: Run; progress: Int32Array }): void {
  const failures: string[] = [];
  const codes: Record<string, number> = {};
  let slowest = { ms: 0, what: '' };
  for (let index = run.from; index < run.from + run.count && failures.length < 20; index++) {
    progress[0] = index;
    const { seedName, mutations, bytes } = fuzzInput(run.seed, index);
    const { trouble, code, ms } = verdictOn(bytes);
    const what = `input ${index} (${seedName}: ${mutations.join(', ')})`;
    codes[code] = (codes[code] ?? 0) + 1;
    if (ms > slowest.ms) slowest = { ms, what };
    if (trouble !== null) failures.push(`${what}: ${trouble}`);
    else if (ms > MAX_MS) failures.push(`${what}: took ${ms.toFixed(0)} ms`);
  }
  parentPort!.postMessage({ failures, codes, slowest } satisfies Summary);
}
