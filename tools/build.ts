// Builds everything into dist/, or the folder named: the command, the engine thread, the page, the library and its types.

import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';
import { buildWeb } from '../src/app/web/build-web.ts';

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
  banner: { js: '#!/usr/bin/env node' },
});
await build({ ...NODE, entryPoints: { 'engine-thread': 'src/app/worker/engine-thread.ts' }, outdir: out });
await build({ ...NODE, entryPoints: { index: 'src/index.ts' }, outdir: out });
await buildWeb(`${out}/web`);
const types = spawnSync('npx', ['tsc', '-p', 'tsconfig.library.json', '--outDir', `${out}/types`], { stdio: 'inherit' });
if (types.status !== 0) process.exit(1);
cpSync('LICENSE', `${out}/LICENSE`);
writeFileSync(`${out}/package.json`, `${JSON.stringify({ type: 'module' })}\n`);
