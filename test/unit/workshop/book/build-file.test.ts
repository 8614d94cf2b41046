import { describe, expect, it } from 'vitest';
import { newBuild, readBuild } from '../../../../src/workshop/book/build-file.ts';

const build = newBuild({ name: 'A helm', file: 'helm.stl', sha256: 'a'.repeat(64) });

describe('the build file', () => {
  it('reads back what it wrote', () => {
    const read = readBuild(JSON.parse(JSON.stringify(build)));
    expect(read).toEqual({ ok: true, value: build, findings: [] });
  });

  it.each([
    ['a layer too high', { ...build, print: { ...build.print, layerMm: 3 } }, 'print.layerMm', /1/],
    [
      'a bed side missing',
      { ...build, machines: [{ ...build.machines[0], bedMm: [200, 200] }] },
      'machines.0.bedMm',
      /./,
    ],
    ['a word nobody knows', { ...build, print: { ...build.print, layerHeight: 0.2 } }, 'print', /layerHeight/],
    ['another version', { ...build, version: 2 }, 'version', /1/],
    [
      'a size without a number',
      { ...build, wearer: { ...build.wearer, size: { by: 'height' } } },
      'wearer.size.heightMm',
      /./,
    ],
    ['two machines of one id', { ...build, machines: [build.machines[0], build.machines[0]] }, 'machines', /bed-/],
    ['no object at all', 'helm', '(whole file)', /object/],
  ])('names the path and the range of %s', (_what, value, path, range) => {
    const read = readBuild(value);
    expect(read.ok).toBe(false);
    if (read.ok) return;
    expect(read.code).toBe('BUILD_INVALID');
    expect(read.why).toContain(path);
    expect(read.why).toMatch(range);
  });
});
