// Runs every benchmark, one after another, each in a process of its own so that none inherits another's heap.
import { spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';

const folder = new URL('.', import.meta.url).pathname;
for (const name of readdirSync(folder)
  .filter((file) => file.endsWith('.bench.ts'))
  .sort()) {
  process.stdout.write(`\n== ${name}\n`);
  const { status } = spawnSync('npx', ['tsx', join(folder, name)], { stdio: 'inherit' });
  if (status !== 0) process.exitCode = 1;
}
