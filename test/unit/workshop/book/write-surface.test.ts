// The chapter as it reads: choices before anything is known, then rings, seams, packs and steps with their numbers.
import { describe, expect, it, vi } from 'vitest';
import { z } from 'zod';
import type { Build } from '../../../../src/workshop/book/build-file.ts';
import { wholeMinutes } from '../../../../src/workshop/book/spans.ts';
import { surfaceCautions, writeSurface } from '../../../../src/workshop/book/write-surface.ts';
import type { PiecesRecord } from '../../../../src/workshop/process/pieces-record.ts';
import type { PieceSurface, SeamSurface, SurfaceRecord } from '../../../../src/workshop/process/surface-record.ts';
import { SurfaceSettings } from '../../../../src/workshop/surface/surface.ts';
import { surfaceWork } from '../../../../src/workshop/surface/surface-work.ts';
import { sentences, tableRows } from '../../../support/book-words.ts';
import { layerTrack } from '../../../support/layer-track.ts';
import { WAKING } from '../../../support/surface-run.ts';

// a build file that holds nothing but these choices
vi.mock('../../../../src/workshop/book/build-file.ts', () => ({
  buildJsonSchema: () => z.toJSONSchema(z.object({ surface: SurfaceSettings }), { target: 'draft-2020-12' }),
}));

const build = (more: Partial<SurfaceSettings> = {}): Build =>
  ({ surface: SurfaceSettings.parse(more), material: { name: 'PLA' } }) as unknown as Build;
const pieces = {
  pieces: [
    { id: 'A', name: 'crown' },
    { id: 'B', name: 'neck' },
  ],
} as unknown as PiecesRecord;

const piece = (id: string, ringMm: number, ringRounds: number, wallRounds: number): PieceSurface => ({
  piece: id,
  areaMm2: 40_000,
  classes: [
    {
      of: 'rings',
      areaMm2: 10_000,
      cuspMm: { p50: 0.17, p95: 0.198 },
      needMm: 0.198,
      rounds: ringRounds,
      reachMm2: [0, 0, 0, 10_000, 0],
    },
    {
      of: 'walls',
      areaMm2: 30_000,
      cuspMm: { p50: 0.05, p95: 0.13 },
      needMm: 0.13,
      rounds: wallRounds,
      reachMm2: [0, 0, 10_000, 20_000, 0],
    },
  ],
  ringMm,
  flareMm: 0,
  starts: layerTrack(150),
});
const SEAM: SeamSurface = { seam: 'B-A', lengthMm: 700, stepMm: 0.5, worstMm: 0.8, grooveMm: 0, rounds: 2 };

function record(of: readonly PieceSurface[], seams: readonly SeamSurface[], settings = SurfaceSettings.parse({})) {
  const areaMm2 = [0, 0, 20_000, 40_000, 0];
  const reach = { areaMm2, pieces: [], perTri: new Uint8Array(), soft: [] };
  const known: SurfaceRecord = {
    kind: 'surface',
    version: 1,
    layerMm: 0.2,
    pieces: of,
    seams,
    reach,
    ...surfaceWork({ pieces: of, seams, reach }, settings, WAKING),
    otherFiller: { seams: 'filler', rounds: 1, handsOnS: 7200, endDay: 3 },
    wideSteps: [],
    dewPointC: 11.995,
    primerWetUm: settings.primerFrom === 'gun' ? 75 : null,
  };
  return known;
}
const HELM = record([piece('A', 9.04, 2, 1), piece('B', 3, 2, 1)], [SEAM]);

describe('the chapter Surface', () => {
  it('holds the choices before anything is computed', () => {
    const said = sentences(writeSurface(build(), null, null));
    expect(said[0]).toBe('It is finished for being held in the hand.');
    expect(said[1]).toContain(
      'Layer lines are filled with filler primer, seams and marks of support with one-part glazing putty.',
    );
    expect(said[2]!.trim()).toBe(
      'Sanding first takes 0.05 mm off the ridges. The papers are P120, P180, P220, P320 and P400; from P220 on they sand primer, the coarser ones print and filler.',
    );
    expect(said[4]).toBe(
      'The primer is solvent lacquer. Over it goes one colour of solvent lacquer in 3 count coats from cans, then no wash and a clear coat of solvent lacquer in 2 count coats from cans.',
    );
    expect(said[5]).toBe('It is sprayed at 20 count °C and 60 percent of humidity.');
    expect(said).toHaveLength(6);
    expect(sentences(writeSurface(build({ rings: 'resin' }), null, null))[1]).toContain('coats over it');
  });

  it('says where rings show, how many rounds that takes there and on walls', () => {
    const blocks = writeSurface(build(), pieces, HELM);
    const said = sentences(blocks);
    expect(said).toContain(
      'A crown will show the widest rings, up to 9.04 mm wide: two rounds there, one round on its walls.',
    );
    expect(said.join(' ')).toContain('60 percent of humidity, with the dew point at 12.0 °C.');
    expect(tableRows(blocks, 'The outside')).toEqual([
      `A crown | 9.04 mm | 10000 mm2 (2) | 30000 mm2 (1) | none | ${wholeMinutes(HELM.piecesS[0]!)} s`,
      `B neck | 3 mm | 10000 mm2 (2) | 30000 mm2 (1) | none | ${wholeMinutes(HELM.piecesS[1]!)} s`,
    ]);
    expect(blocks.flatMap((block) => (block.b === 'drawing' ? [block.name] : []))).toEqual([
      'rings',
      'filling',
      'reach',
    ]);
  });

  it('says what a seam takes, what is laid and what stays of it', () => {
    const said = sentences(writeSurface(build(), pieces, HELM));
    // 7000 mm2, a quarter of a millimetre deep and 0.2 proud, 1.3 for waste
    expect(said).toContain(
      'The highest step of a seam is to be expected at B-A: 0.5 mm, or 0.8 mm where all keys are printed off the worse way; two rounds. On seams and marks of support 4 ml are laid, and 2 stay: the rest is sanded off. With two-part filler it would be one round, 7200 s of work, and hard on day 3.',
    );
  });

  it('sums up, lists what to buy in packs and what to do in order', () => {
    const blocks = writeSurface(build(), pieces, HELM);
    expect(sentences(blocks)[0]).toBe(
      `It is finished for being held in the hand: that takes two rounds of filling, priming and sanding over 80000 mm2 of outside, and ${wholeMinutes(HELM.totals.handsOnS)} s of work with colour and clear coat. Begun on day 1 it is hard on day ${HELM.days.end} at the earliest, with nights off.`,
    );
    expect(tableRows(blocks, 'To have ready').slice(0, 6)).toEqual([
      'one-part glazing putty | 4 ml | 1 × tube of 100 ml',
      'filler primer | 204 ml | 1 × can of 400 ml',
      'guide coat | 8 ml | 1 × can of 400 ml',
      'colour, solvent lacquer | 69 ml | 1 × can of 400 ml',
      'clear coat, solvent lacquer | 54 ml | 1 × can of 400 ml',
      'paper P120 | 94000 mm2 | 1 sheet',
    ]);
    const rows = tableRows(blocks, 'At the bench').map((row) => row.split(' | ')[1]!);
    for (const [i, { name }] of HELM.steps.entries()) expect(rows[i]!.startsWith(name)).toBe(true);
    expect(rows.find((row) => row.startsWith('Round 2: wash off the dust, degrease, prime'))).toMatch(
      /; 24 h after the coat below at the earliest$/,
    );
    expect(rows.find((row) => row.startsWith('Spray the clear coat'))).toMatch(
      /; within 1 h of the last coat below, else 24 h after the coat below at the earliest$/,
    );
    expect(sentences(blocks)).toContain(
      'Besides these: knife, rag, degreaser, masking tape, discs of the same papers for the sander, block and sticks, gloves and the masks of the cautions and filters for them.',
    );
    expect(sentences(blocks)).toContain('The work is spread evenly over the pieces.');
  });

  it('says so where nothing is level, nothing is a seam, nothing takes a round', () => {
    const flat = record([{ ...piece('A', 0, 0, 0), classes: [] }], []);
    const said = sentences(writeSurface(build(), pieces, flat));
    expect(said).toContain('Nothing on the outside lies so level that single layers show as rings.');
    expect(said).toContain('No seam is seen.');
    const fine = record([piece('A', 2, 0, 0)], [{ ...SEAM, stepMm: 0.05, worstMm: 0.05, rounds: 0 }]);
    const words = sentences(writeSurface(build(), pieces, fine)).join(' ');
    expect(words).toContain('It will show rings up to 2 mm wide: no rounds there, no rounds on the walls.');
    expect(words).toContain('0.05 mm; no rounds. Neither seams nor marks of support need filling.');
    expect(words).toContain('that takes one round of filling, priming and sanding over');
    const cuspMm = { p50: 0.1, p95: 0.2 };
    const reachMm2 = [0, 0, 0, 10_000, 0];
    const scars = { of: 'scars', areaMm2: 10_000, cuspMm, needMm: 0.5, rounds: 2, reachMm2 } as const;
    const held = record([{ ...piece('A', 0, 0, 0), classes: [scars] }], []);
    expect(sentences(writeSurface(build(), pieces, held))).toContain(
      'No seam is seen. On marks of support 6 ml are laid, and 3 stay: the rest is sanded off.',
    );
  });

  it('says how two-part filler is mixed, when coats may follow, and where the first layer flares', () => {
    const flared = record([{ ...piece('A', 9.04, 2, 1), flareMm: 420 }], [SEAM]);
    const said = sentences(writeSurface(build({ seams: 'filler' }), pieces, flared)).join(' ');
    expect(said).toContain('Two-part filler is mixed by weight, 2 percent of hardener');
    expect(said).toContain('not below 18 °C');
    expect(said).toContain('The first layer flares along 420 mm of edges that are seen');
    const other = sentences(writeSurface(build(), pieces, HELM)).join(' ');
    expect(other).not.toContain('Two-part filler is mixed');
    expect(other).not.toContain('flares');
    expect(other).toContain('Between coats of one layer wait 1200 s.');
  });

  it('says how thick a coat from a gun lies', () => {
    const settings = SurfaceSettings.parse({ primerFrom: 'gun' });
    const sprayed = record([piece('A', 9, 2, 1)], [SEAM], settings);
    const said = sentences(writeSurface(build({ primerFrom: 'gun' }), pieces, sprayed));
    expect(said.join(' ')).toContain('a tin through a gun: a coat lies 75 µm thick wet, 30 dry.');
  });

  it('says where each layer starts, in a sentence for few pieces and in a table for more', () => {
    const starts = layerTrack(212, { bedDeg: 134.6, seamMm: 90, seenMm: 40 });
    const two = record([{ ...piece('A', 9, 2, 1), starts }, piece('B', 3, 2, 1)], [SEAM]);
    const blocks = writeSurface(build(), pieces, two);
    expect(sentences(blocks)).toContain(
      'Each layer starts where it is seen least. The starts leave a track up each outline of a piece. A: start it at the back left of the bed, at 135 deg; 40 mm of 212 mm lie on the outside, and 90 mm along seams. B: start it at the back of the bed, at 90 deg; 150 mm of 150 mm lie on the outside. Sides and angles are those of the bed as the file of the piece lies, counter-clockwise from the right; where only the back of the bed can be set, turn the piece until that side is there.',
    );
    const three = record([{ ...piece('A', 9, 2, 1), starts }, piece('B', 3, 2, 1), piece('C', 3, 2, 1)], [SEAM]);
    const more = writeSurface(build(), pieces, three);
    expect(sentences(more).join(' ')).toContain(
      'up each outline of a piece, 512 mm in all; 90 mm of it run along seams, 340 mm elsewhere on the outside.',
    );
    expect(tableRows(more, 'Where layers start').slice(0, 2)).toEqual([
      'A crown | back left | 135 deg | 212 mm | 90 mm | 40 mm',
      'B neck | back | 90 deg | 150 mm | 0 mm | 150 mm',
    ]);
  });

  it('says which pieces cannot start at the back, and that spread starts are anywhere', () => {
    const back = layerTrack(150, { kind: 'back' });
    const of = [piece('A', 9, 2, 1), { ...piece('B', 3, 2, 1), starts: back }, piece('C', 3, 2, 1)];
    const said = sentences(writeSurface(build({ starts: 'back' }), pieces, record(of, [SEAM]))).join(' ');
    expect(said).toContain("A and C lie with the wearer's back up or down, and so start where it is seen least.");
    const round = layerTrack(150, { bedDeg: 359.7 });
    const one = record([{ ...piece('A', 9, 2, 1), starts: round }], []);
    expect(sentences(writeSurface(build(), pieces, one)).join(' ')).toContain('at the right of the bed, at 0 deg');
    const spread = layerTrack(0, { kind: 'spread', bedDeg: null });
    const all = record([{ ...piece('A', 9, 2, 1), starts: spread }], []);
    const words = sentences(writeSurface(build({ starts: 'spread' }), pieces, all)).join(' ');
    expect(words).toContain('Each layer starts somewhere else each time. That leaves no track');
    const dashed = (some: SurfaceRecord) =>
      writeSurface(build(), pieces, some).some((block) => block.b === 'drawing' && block.caption.includes('in dashes'));
    expect(dashed(all)).toBe(false);
    const line = { ...back, lines: [Float32Array.of(0, 0, 0, 0, 0, 5)] };
    expect(dashed(record([{ ...piece('A', 9, 2, 1), starts: line }], []))).toBe(true);
  });

  it('says how it is reckoned and what has no source', () => {
    const words = sentences(writeSurface(build(), pieces, HELM)).join(' ');
    expect(words).toContain('over what a round fills, rounded up');
    const numbers = tableRows(writeSurface(build(), pieces, HELM), 'The numbers');
    expect(numbers).toContain('May stay for the hand: a nail feels a twentieth | 0.04 mm | practice');
    expect(numbers).toContain(
      'Primer dries before it is sanded | 90 count min | data sheet of a primer surfacer for the gun: 60 to 90 (B)',
    );
    expect(numbers.join()).not.toMatch(/camera|resin|hardener|Solids/i);
    const others = { target: 'camera', rings: 'resin', seams: 'filler', primerFrom: 'gun' } as const;
    const more = tableRows(writeSurface(build(others), pieces, HELM), 'The numbers').join();
    for (const what of ['camera', 'resin', 'Hardener', 'Solids of primer', 'lands']) expect(more).toContain(what);
  });

  it('says which layers of paint wait for each other', () => {
    const words = (some: Partial<SurfaceSettings>) => {
      const settings = SurfaceSettings.parse(some);
      return sentences(writeSurface(build(some), pieces, record([piece('A', 9, 2, 1)], [SEAM], settings))).join(' ');
    };
    expect(words({})).toContain('So it is with the colour over the primer and the clear coat over the colour.');
    // what counts under a clear coat is not the wash but the colour below that
    expect(words({ wash: 'water' })).toContain(
      'So it is with the colour over the primer and the clear coat over the colour.',
    );
    const water = { base: 'water', coats: 2, from: 'gun' } as const;
    const dry = words({ paint: water, ladder: [120, 180, 220, 320] });
    expect(dry).toContain(
      'Otherwise what lies below has to be dry through, 24 h: so it is with the colour over the primer and the clear coat over the colour.',
    );
    expect(dry).toContain('sanded with P400; the papers end at P320.');
  });

  it('gives each caution once, and only of what is used', () => {
    const titles = surfaceCautions(HELM).map((block) => (block.b === 'caution' ? block.title : ''));
    expect(titles).toEqual(['Dust', 'Fillers', 'Spray']);
    const texts = JSON.stringify(surfaceCautions(HELM));
    expect(texts).toContain('data sheet of such putty excludes plastics');
    expect(texts).not.toContain('allergic');
    const resin = record([piece('A', 9, 2, 1)], [SEAM], SurfaceSettings.parse({ rings: 'resin' }));
    expect(JSON.stringify(surfaceCautions(resin))).toContain('allergic');
    expect(surfaceCautions(null)).toEqual([]);
  });
});
