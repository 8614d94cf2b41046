// Runs every check of the project and closes with one plain line over all of them: "N passed, N failed".
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

interface Count {
  passed: number;
  failed: number;
  skipped: number;
}

const total: Count = { passed: 0, failed: 0, skipped: 0 };
const scratch = mkdtempSync(join(tmpdir(), 'helmwright-check-'));

// What takes longest before the tests runs beside the rest of it, so that two cores have work until the tests begin; it is told afterwards.
const openSet = beside('the open set: counts against the catalogue', 'npx', ['tsx', 'tools/check-meshes/main.ts']);
const types = beside('types of everything', 'npx', ['tsc', '-p', 'tsconfig.json']);
await step('types of the engine, without DOM or Node', 'npx', ['tsc', '-p', 'tsconfig.engine.json']);
await step('format and lint', 'npx', ['biome', 'check', '--error-on-warnings', '.']);
await step('import rules', 'npx', ['depcruise', '--config', '.dependency-cruiser.cjs', 'src']);
await step('dead code', 'npx', ['knip']);
await step('build', 'npx', ['tsx', 'tools/build.ts']);
await step('generated pages are fresh', 'npx', ['tsx', 'tools/generate.ts', '--check']);
await step('Chromium for the browser tests', process.execPath, ['--version'], () =>
  ensureInstalled('/usr/bin/chromium', 'chromium'),
);
await step('PostgreSQL for the store suite', process.execPath, ['--version'], () =>
  ensureInstalled('/usr/lib/postgresql', 'postgresql'),
);
await types();
await openSet();
runTests('unit, property, reference, regression, fault and browser tests');

rmSync(scratch, { recursive: true, force: true });
const skipped = total.skipped === 0 ? '' : `, ${total.skipped} skipped`;
process.stdout.write(`\n${total.passed} passed, ${total.failed} failed${skipped}\n`);
process.exitCode = total.failed === 0 ? 0 : 1;

async function step(
  title: string,
  command: string,
  args: readonly string[],
  first: () => boolean = () => true,
): Promise<void> {
  process.stdout.write(`\n== ${title}\n`);
  const from = performance.now();
  const ok = first() && (await ended(spawn(command, args, { stdio: 'inherit' })));
  count(title, ok, secondsFrom(from));
}

/** A step that has begun; its words are kept back until it is asked for them. */
function beside(title: string, command: string, args: readonly string[]): () => Promise<void> {
  const from = performance.now();
  const child = spawn(command, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  const words: Buffer[] = [];
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk: Buffer) => void words.push(chunk));
  const done = ended(child).then((ok) => ({ ok, seconds: secondsFrom(from) }));
  return async () => {
    const { ok, seconds } = await done;
    process.stdout.write(`\n== ${title}\n`);
    process.stdout.write(Buffer.concat(words));
    count(title, ok, seconds);
  };
}

function ended(child: ChildProcess): Promise<boolean> {
  return new Promise((resolve) => {
    child.once('error', () => resolve(false));
    child.once('close', (code) => resolve(code === 0));
  });
}

function count(title: string, ok: boolean, seconds: number): void {
  total[ok ? 'passed' : 'failed']++;
  process.stdout.write(`${ok ? 'ok' : 'FAILED'}: ${title} (${seconds.toFixed(1)} s)\n`);
}

function secondsFrom(from: number): number {
  return (performance.now() - from) / 1000;
}

function runTests(title: string): void {
  process.stdout.write(`\n== ${title}\n`);
  const report = join(scratch, 'report.json');
  spawnSync('npx', ['vitest', 'run', '--reporter=default', '--reporter=json', `--outputFile.json=${report}`], {
    stdio: 'inherit',
  });
  if (!existsSync(report)) {
    total.failed++;
    return;
  }
  const { numPassedTests, numFailedTests, numFailedTestSuites, numPendingTests, testResults } = JSON.parse(
    readFileSync(report, 'utf8'),
  ) as {
    numPassedTests: number;
    numFailedTests: number;
    numFailedTestSuites: number;
    numPendingTests: number;
    testResults: readonly { status: string; assertionResults: readonly unknown[] }[];
  };
  // A file that does not even load has no tests to count; it counts as one failure.
  const unloaded = testResults.filter((file) => file.status === 'failed' && file.assertionResults.length === 0).length;
  total.passed += numPassedTests;
  total.failed += numFailedTests + unloaded + (numFailedTests + unloaded === 0 && numFailedTestSuites > 0 ? 1 : 0);
  total.skipped += numPendingTests;
}

/** A Debian package; installed when it is missing and we may. */
function ensureInstalled(path: string, name: string): boolean {
  if (existsSync(path)) return true;
  process.stdout.write(`installing ${name}\n`);
  const sudo = process.getuid?.() === 0 ? [] : ['sudo'];
  const run = (...words: string[]): boolean => {
    const [command, ...args] = [...sudo, ...words];
    return spawnSync(command!, args, { stdio: ['ignore', 'ignore', 'inherit'] }).status === 0;
  };
  return run('apt-get', 'update') && run('apt-get', 'install', '-y', '--no-install-recommends', name);
}
