// Every code is documented, used, and says what to try.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { CODES } from '../../../src/base/codes.ts';

const page = readFileSync('docs/codes.md', 'utf8');
const sources = (readdirSync('src', { recursive: true }) as string[])
  .filter((name) => /\.tsx?$/.test(name) && !name.endsWith('codes.ts'))
  .map((name) => readFileSync(join('src', name), 'utf8'))
  .join('\n');

describe('the registry of findings and refusals', () => {
  it('counts as many codes as its page', () => {
    const documented = page.match(/^\| `[A-Z0-9_]+` \|/gm) ?? [];
    expect(documented.length).toBe(Object.keys(CODES).length);
  });

  it.each(Object.entries(CODES))('%s is documented and used', (code, entry) => {
    expect(page).toContain(`| \`${code}\` |`);
    expect(sources).toContain(`'${code}'`);
    expect(entry.meaning).toMatch(/\.$/);
    if (entry.kind === 'refusal') expect(entry.tryThis).toMatch(/\.$/);
  });
});
