// Cancelling a running plan ends it within a second, at any moment, and writes nothing.
import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeStl } from '../../src/documents/stl/write-stl.ts';
import { runCommandLine, startCommand } from '../support/command.ts';
import { quickHelm } from '../support/quick-helm.ts';

describe('a plan interrupted from the keyboard', () => {
  const folder = mkdtempSync(join(tmpdir(), 'helmwright-cancel-'));
  const model = join(folder, 'helm.stl');
  let tookMs = 0;

  beforeAll(async () => {
    writeFileSync(model, writeStl(quickHelm()));
    const from = performance.now();
    await runCommandLine(['plan', model, '--bed', '180x180x180', '--plain', '--out', join(folder, 'kit')]);
    tookMs = performance.now() - from;
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it.each([0.2, 0.35, 0.5, 0.65, 0.8])('at %f of its time ends with 130 and leaves nothing', async (share) => {
    const out = join(folder, `out-${share}`);
    const { child, ended } = startCommand(['plan', model, '--bed', '180x180x180', '--plain', '--out', out]);
    await new Promise((wait) => setTimeout(wait, share * tookMs));
    const asked = performance.now();
    child.kill('SIGINT');
    const { code, err } = await ended;
    const answeredMs = performance.now() - asked;
    if (code === 0) return; // it was quicker this time
    expect(code, err).toBe(130);
    expect(answeredMs).toBeLessThan(1000);
    expect(existsSync(out)).toBe(false);
    expect(readdirSync(folder).filter((name) => name.startsWith('.'))).toEqual([]);
  });
});
