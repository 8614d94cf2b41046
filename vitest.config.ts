import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { defineConfig } from 'vitest/config';
import { LONGEST, LongestFirst } from './test/support/longest-first.ts';

/** Files that get a process of their own: they start servers, browsers, threads or databases, put other modules in a module's place, or
 *  run so long that a process of their own costs nothing. All others share two processes, which load and compile what they have in common once. */
const APART = [
  ...LONGEST,
  'test/{browser,faults}/*.test.ts',
  'test/unit/{store,app/server,app/worker}/*.test.ts',
  'test/{property,reference}/{store,kits,readers}*.test.ts',
  ...filesThatMock('test'),
];

export default defineConfig({
  test: {
    testTimeout: 120_000,
    hookTimeout: 120_000,
    // What is waited for on a page may take seconds on a busy machine; the usual second only tests the machine.
    expect: { poll: { timeout: 20_000 } },
    maxWorkers: 2,
    pool: 'forks',
    sequence: { sequencer: LongestFirst },
    projects: [
      { extends: true, test: { name: 'apart', include: APART } },
      {
        extends: true,
        test: { name: 'together', include: ['test/**/*.test.{ts,tsx}'], exclude: APART, isolate: false },
      },
    ],
  },
});

function filesThatMock(folder: string): string[] {
  return (readdirSync(folder, { recursive: true }) as string[])
    .map((path) => join(folder, path))
    .filter((path) => /\.test\.tsx?$/.test(path) && readFileSync(path, 'utf8').includes('vi.mock('));
}
