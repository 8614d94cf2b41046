// Closed models damaged at random: the whole way from what was read to a sound solid has to give them back.
import { beforeAll, describe, expect, it } from 'vitest';
import { type DamageCase, type DamageModels, damageModels } from '../support/damage-cases.ts';
import { testKernel } from '../support/kernel.ts';

const SEED = 31;
/** All of them: MEND_DAMAGE_RUNS=200 npx vitest run test/property/mend-damage.test.ts */
const RUNS = Number(process.env.MEND_DAMAGE_RUNS ?? 60);
const MOST_GAP_MM = 0.05;
const MOST_VOLUME = 1e-3;
const MOST_FAILED = Math.ceil(RUNS / 100);

describe(`${RUNS} models damaged and mended, seeds from ${SEED}`, () => {
  const cases: DamageCase[] = [];
  let subjects: DamageModels;
  beforeAll(async () => {
    subjects = damageModels(await testKernel());
    for (let seed = SEED; seed < SEED + RUNS; seed++) cases.push(subjects.run(seed));
  }, 300_000);

  it('a closed manifold again, in all but one in a hundred', () => {
    const faults = cases.flatMap(({ title, fault }) => (fault === null ? [] : [`${title}: ${fault}`]));
    expect(faults.length, faults.join('\n')).toBeLessThanOrEqual(MOST_FAILED);
  });

  it('the same volume to 0.1 percent, in all but one in a hundred', () => {
    const off = cases.filter(({ volumeChange }) => !(volumeChange <= MOST_VOLUME));
    expect(off.length, off.map((one) => `${one.title}: ${one.volumeChange}`).join('\n')).toBeLessThanOrEqual(
      MOST_FAILED,
    );
  });

  it('the same surface to 0.05 mm, in all but one in a hundred, where no patch of neighbours was lost', () => {
    const known = cases.filter(({ isGuess }) => !isGuess);
    const off = known.filter(({ gapMm }) => !(gapMm <= MOST_GAP_MM));
    expect(known.length).toBeGreaterThan(RUNS / 2);
    expect(off.length, off.map((one) => `${one.title}: ${one.gapMm} mm`).join('\n')).toBeLessThanOrEqual(MOST_FAILED);
    console.info(told(cases, known));
  });

  // Inner vertices and the choice of diagonals are gone with it, at life size and 8 mm triangles more than 0.05 mm.
  it('a lost patch of up to 30 triangles comes back to a sixth of its width in nine of ten, to a thirtieth in half', () => {
    const shares = cases.filter(({ isGuess }) => isGuess).map(({ gapMm, widthMm }) => gapMm / widthMm);
    shares.sort((a, b) => a - b);
    expect(shares.length).toBeGreaterThan(RUNS / 10);
    expect(shares[Math.floor(0.9 * shares.length)]).toBeLessThan(1 / 6);
    expect(shares[Math.floor(0.5 * shares.length)]).toBeLessThan(1 / 30);
  });

  it('some of each sort', ({ skip }) => {
    expect(cases.filter(({ isSplit }) => isSplit).length).toBeGreaterThan(RUNS / 10);
    if (!subjects.hasShared) skip('goat head, boot and skull: ../shared/meshes is not here, two plain domes stood in');
  });
});

function told(cases: readonly DamageCase[], known: readonly DamageCase[]): string {
  const worst = (some: readonly DamageCase[], of: (one: DamageCase) => number): string => {
    const last = some.reduce((a, b) => (of(b) > of(a) ? b : a));
    return `${of(last).toPrecision(2)} (${last.title})`;
  };
  const guessed = cases.filter(({ isGuess }) => isGuess);
  const split = cases.filter(({ isSplit }) => isSplit).length;
  return [
    `${cases.length} damaged, ${split} of them split apart: worst volume ${worst(cases, (one) => one.volumeChange)}`,
    `worst distance, mm, ${worst(known, (one) => one.gapMm)}`,
    `with a patch lost (${guessed.length}) ${worst(guessed, (one) => one.gapMm)}`,
  ].join('; ');
}
