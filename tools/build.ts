// Builds everything into dist/, or the folder named: the command, the engine thread, the page, the library and its types.

import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';
import { buildWeb } from '../src/app/web/build-web.ts';
import { newDatabaseImage } from '../src/store/embedded/new-database.ts';
import { writeWholeFile } from '../src/store/whole-files.ts';

const NODE = {
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  packages: 'external',
  jsx: 'automatic',
  logLevel: 'warning',
} as const;

const out = process.argv[2] ?? 'dist';
rmSync(out, { recursive: true, force: true });
mkdirSync(out, { recursive: true });
await build({
  ...NODE,
  entryPoints: { cli: 'src/app/cli/main.ts' },
  outdir: out,
  splitting: true,
  chunkNames: 'cli-[name]-[hash]',
  banner: { js: '#!/usr/bin/env node' },
});
await build({ ...NODE, entryPoints: { 'engine-thread': 'src/app/worker/engine-thread.ts' }, outdir: out });
await build({ ...NODE, entryPoints: { 'crew-thread': 'src/app/worker/crew-thread.ts' }, outdir: out });
await build({ ...NODE, entryPoints: { index: 'src/index.ts' }, outdir: out });
await buildWeb(`${out}/web`);
writeFileSync(`${out}/new-database.tgz`, await newDatabase());
const types = spawnSync('npx', ['tsc', '-p', 'tsconfig.library.json', '--outDir', `${out}/types`], {
  stdio: 'inherit',
});
if (types.status !== 0) process.exit(1);
cpSync('LICENSE', `${out}/LICENSE`);
writeFileSync(`${out}/package.json`, `${JSON.stringify({ type: 'module' })}\n`);

/** An empty database for the first start, made once for each version of the package. */
async function newDatabase(): Promise<Uint8Array> {
  const about = readFileSync('node_modules/@electric-sql/pglite/package.json', 'utf8');
  const { version } = JSON.parse(about) as { readonly version: string };
  const kept = `node_modules/.cache/helmwright/new-database-${version}.tgz`;
  if (!existsSync(kept)) writeWholeFile(kept, await newDatabaseImage());
  return readFileSync(kept);
}
