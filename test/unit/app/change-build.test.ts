import { describe, expect, it } from 'vitest';
import { changeBuild } from '../../../src/app/server/change-build.ts';
import { newBuild } from '../../../src/workshop/book/build-file.ts';

const build = newBuild({ name: 'A helm', file: 'helm.stl', sha256: 'a'.repeat(64) });

describe('one change of the page', () => {
  it('sets a number at its path and leaves the old build alone', () => {
    const changed = changeBuild(build, { path: 'print.layerMm', value: 0.3 });
    expect(changed.ok && changed.value.print.layerMm).toBe(0.3);
    expect(build.print.layerMm).toBe(0.2);
  });

  it('makes the turn when there was none', () => {
    const changed = changeBuild(build, { path: 'model.level.turnDeg.1', value: 4 });
    expect(changed.ok && changed.value.model.level.turnDeg).toEqual([0, 4, 0]);
  });

  it('sets and forgets the places that lie level', () => {
    const places = [
      [0, 0, 0],
      [1, 0, 0],
      [0, 1, 0],
    ];
    const changed = changeBuild(build, { path: 'model.level.levelPoints', value: places });
    expect(changed.ok && changed.value.model.level.levelPoints).toEqual(places);
    const forgotten = changed.ok
      ? changeBuild(changed.value, { path: 'model.level.levelPoints', value: null })
      : changed;
    expect(forgotten.ok && forgotten.value.model.level.levelPoints).toBeNull();
  });

  it.each([
    ['model.level.levelPoints', [[0, 0, 0]]],
    ['model.level.levelPoints', 'level'],
    ['print.layerMm', 9],
    ['print.layerMm', 'thick'],
    ['machines.0.bedMm.7', 100],
    ['machines.length', 0],
    ['nowhere.at.all', 1],
    ['__proto__.polluted', 1],
    ['print.constructor.prototype.polluted', 1],
  ])('refuses %s = %s', (path, value) => {
    const changed = changeBuild(build, { path, value });
    expect(changed.ok).toBe(false);
    expect(({} as { polluted?: unknown }).polluted).toBeUndefined();
  });
});
