// Builds everything into dist/: the command, the engine thread, the page, the library and its types.

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

rmSync('dist', { recursive: true, force: true });
mkdirSync('dist', { recursive: true });
await build({
  ...NODE,
  entryPoints: { cli: 'src/app/cli/main.ts' },
  outdir: 'dist',
  banner: { js: '#!/usr/bin/env node' },
});
await build({ ...NODE, entryPoints: { 'engine-thread': 'src/app/worker/engine-thread.ts' }, outdir: 'dist' });
await build({ ...NODE, entryPoints: { index: 'src/index.ts' }, outdir: 'dist' });
await buildWeb('dist/web');
const types = spawnSync('npx', ['tsc', '-p', 'tsconfig.library.json'], { stdio: 'inherit' });
if (types.status !== 0) process.exit(1);
cpSync('LICENSE', 'dist/LICENSE');
writeFileSync('dist/package.json', `${JSON.stringify({ type: 'module' })}\n`);
