// The import rules catch what they are for: each planted fault must be named, file and rule. All are planted at once: a run takes seconds.
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const PLANTED: readonly (readonly [string, Readonly<Record<string, string>>, RegExp])[] = [
  [
    'an import upward',
    { 'src/mesh/planted.ts': "export { planeFrame } from '../geometry/plane.ts';\n" },
    /no-import-upward-from-mesh/,
  ],
  [
    'a type import upward',
    { 'src/base/planted.ts': "import type { Mesh } from '../mesh/mesh.ts';\nexport type Planted = Mesh;\n" },
    /no-import-upward-from-base/,
  ],
  [
    'a cycle',
    {
      'src/base/planted-a.ts': "import { b } from './planted-b.ts';\nexport const a = (): number => b();\n",
      'src/base/planted-b.ts': "import { a } from './planted-a.ts';\nexport const b = (): number => a();\n",
    },
    /no-cycle/,
  ],
  [
    'a chapter importing another',
    { 'src/workshop/wearer/planted.ts': "export { computePieces } from '../pieces/pieces.ts';\n" },
    /no-sideways-import-from-wearer/,
  ],
  [
    'a node: import in the engine',
    { 'src/geometry/planted.ts': "export { readFileSync } from 'node:fs';\n" },
    /engine-does-no-io/,
  ],
  [
    'the page reaching into the store',
    { 'src/app/web/planted.ts': "export { openStore } from '../../store/open-store.ts';\n" },
    /page-talks-http-only/,
  ],
  [
    'the kernel package behind its door',
    {
      'src/workshop/model/planted.ts':
        "import type { Manifold } from 'manifold-3d';\nexport type Planted = Manifold;\n",
    },
    /one-door-to-the-solid-kernel/,
  ],
];

describe('import rules', () => {
  const root = mkdtempSync(join(tmpdir(), 'helmwright-rules-'));

  beforeAll(() => {
    for (const name of [
      'src',
      'tools/layers.cjs',
      '.dependency-cruiser.cjs',
      'tsconfig.json',
      'tsconfig.base.json',
      'package.json',
    ]) {
      cpSync(name, join(root, name), { recursive: true });
    }
    symlinkSync(resolve('node_modules'), join(root, 'node_modules'));
  });
  afterAll(() => rmSync(root, { recursive: true, force: true }));

  it('pass on the tree as it is', () => {
    const { status, stdout } = cruise(root);
    expect(status, stdout).toBe(0);
  });

  describe('fail on', () => {
    let report = '';
    beforeAll(() => {
      const files = PLANTED.flatMap(([, planted]) => Object.entries(planted));
      for (const [path, text] of files) {
        mkdirSync(dirname(join(root, path)), { recursive: true });
        writeFileSync(join(root, path), text);
      }
      const { status, stdout } = cruise(root);
      for (const [path] of files) rmSync(join(root, path));
      expect(status, stdout).not.toBe(0);
      report = stdout;
    });
    it.each(PLANTED)('%s', (_title, files, rule) => {
      const about = report.split('\n').filter((line) => Object.keys(files).some((path) => line.includes(path)));
      expect(about.join('\n')).toMatch(rule);
    });
  });

  it('fail the type check on a clock or a console in the engine', () => {
    // the lowest layer alone knows no other, and is checked by itself in a tenth of the time; without the clock it passes
    const engine = join(root, 'engine');
    for (const name of ['src/base', 'tsconfig.engine.json', 'tsconfig.base.json'])
      cpSync(name, join(engine, name), { recursive: true });
    const check = () => spawnSync('npx', ['tsc', '-p', 'tsconfig.engine.json'], { cwd: engine, encoding: 'utf8' });
    expect(check().status).toBe(0);
    writeFileSync(join(engine, 'src/base/planted-clock.ts'), 'export const now = (): number => performance.now();\n');
    const { status, stdout } = check();
    expect(status).not.toBe(0);
    expect(stdout).toContain('planted-clock.ts');
  });
});

function cruise(cwd: string): { status: number | null; stdout: string } {
  return spawnSync('npx', ['depcruise', '--config', '.dependency-cruiser.cjs', 'src'], { cwd, encoding: 'utf8' });
}
