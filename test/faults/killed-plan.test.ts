// A plan killed at any moment leaves the whole kit or none, and nothing else in the maker's folder. Without keys, and of a helm
// of two pieces with few triangles: fifty plans are made.
import { createHash } from 'node:crypto';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { writeStl } from '../../src/documents/stl/write-stl.ts';
import { runCommandLine, startCommand } from '../support/command.ts';
import { quickHelm } from '../support/quick-helm.ts';

const KILLS = 50;
const SEED = 20261125;
const PLAN = ['--bed', '300x300x120', '--plain'];
const CHANGING = new Set(['plan.json', 'book.html']);

describe(`a plan killed at ${KILLS} random moments, seed ${SEED}`, () => {
  const folder = mkdtempSync(join(tmpdir(), 'helmwright-kill-'));
  const model = join(folder, 'helm.stl');
  let tookMs = 0;
  let whole = new Map<string, string>();

  beforeAll(async () => {
    writeFileSync(model, writeStl(quickHelm({ rings: 8, around: 20, radiiMm: [90, 110, 120] })));
    const from = performance.now();
    const ran = await runCommandLine(['plan', model, ...PLAN, '--out', join(folder, 'kit')]);
    tookMs = performance.now() - from;
    expect(ran.code, ran.err).toBe(0);
    whole = hashes(join(folder, 'kit'));
    expect(whole.size).toBeGreaterThan(5);
    expect([...whole.keys()].filter((path) => path.startsWith('pieces'))).toHaveLength(2);
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('leaves no broken file and no half folder', async () => {
    const random = randomStream(SEED);
    let finished = 0;
    for (let kill = 0; kill < KILLS; kill++) {
      const out = mkdtempSync(join(folder, 'out-'));
      const data = join(folder, 'data');
      const { child, ended } = startCommand(['plan', model, ...PLAN, '--out', join(out, 'kit'), '--data', data]);
      // Half of the kills fall where files are written.
      const share = kill % 2 === 0 ? random() : 0.8 + 0.4 * random();
      const timer = setTimeout(() => child.kill('SIGKILL'), share * tookMs);
      await ended;
      clearTimeout(timer);
      expect(
        readdirSync(out).filter((name) => name !== 'kit'),
        `kill ${kill}`,
      ).toEqual([]);
      if (existsSync(join(out, 'kit'))) {
        finished++;
        expect(hashes(join(out, 'kit')), `kill ${kill}`).toEqual(whole);
      }
      if (kill % 5 === 0) rmSync(data, { recursive: true, force: true });
    }
    expect(finished).toBeLessThan(KILLS);
  }, 400_000);

  it('computes the same kit afterwards from whatever the killed runs had stored', async () => {
    const ran = await runCommandLine([
      'plan',
      model,
      ...PLAN,
      '--out',
      join(folder, 'again'),
      '--data',
      join(folder, 'data'),
    ]);
    expect(ran.code, ran.err).toBe(0);
    expect(hashes(join(folder, 'again'))).toEqual(whole);
  });
});

/** SHA-256 by path; of the files that hold seconds only their being there and whole. */
function hashes(dir: string): Map<string, string> {
  const out = new Map<string, string>();
  for (const name of (readdirSync(dir, { recursive: true }) as string[]).sort()) {
    const path = join(dir, name);
    if (!statSync(path).isFile()) continue;
    const bytes = readFileSync(path);
    out.set(name, CHANGING.has(name) ? wholeness(name, bytes) : createHash('sha256').update(bytes).digest('hex'));
  }
  return out;
}

function wholeness(name: string, bytes: Buffer): string {
  const text = bytes.toString('utf8');
  if (name === 'plan.json') return JSON.stringify({ ...JSON.parse(text), timings: null });
  return text.trimEnd().endsWith('</html>') ? 'ends well' : 'cut short';
}
