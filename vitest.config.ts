import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['test/**/*.test.ts', 'test/**/*.test.tsx'],
    testTimeout: 120_000,
    hookTimeout: 120_000,
    // What is waited for on a page may take seconds on a busy machine; the usual second only tests the machine.
    expect: { poll: { timeout: 20_000 } },
    maxWorkers: 2,
    pool: 'forks',
  },
});
