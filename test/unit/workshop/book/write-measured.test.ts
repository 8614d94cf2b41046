// What the book says of measured prints: how many, what they teach, how sure the hours are, and how another one is noted.
import { describe, expect, it } from 'vitest';
import type { Span } from '../../../../src/workshop/book/book-text.ts';
import { type Build, newBuild, readBuild } from '../../../../src/workshop/book/build-file.ts';
import { changeWords } from '../../../../src/workshop/book/change-words.ts';
import { CHAPTERS } from '../../../../src/workshop/book/chapters.ts';
import { followsOf } from '../../../../src/workshop/book/editable.ts';
import { measuredBlocks } from '../../../../src/workshop/book/write-measured.ts';
import { ordinaryMachine } from '../../../../src/workshop/facts/machines.ts';
import { estimateOf, learntMachines } from '../../../../src/workshop/printing/estimates.ts';
import { learnFrom } from '../../../../src/workshop/printing/learnt-prints.ts';
import type { PosedPrint } from '../../../../src/workshop/printing/pose-choice.ts';
import { type MeasuredPrint, sumOfParts, TIME_PARTS } from '../../../../src/workshop/process/measured-print.ts';
import type { PiecesRecord } from '../../../../src/workshop/process/pieces-record.ts';
import type { PrintingRecord } from '../../../../src/workshop/process/printing-record.ts';
import { sentences } from '../../../support/book-words.ts';

const parts = { contour: 12_000, infill: 2400, closing: 800, support: 1200, travel: 2000, held: 300, startUp: 360 };
const print = (tookS: number, weighedG: number | null = null): MeasuredPrint => ({
  name: 'A crown',
  parts,
  estimatedG: 80,
  material: 'pla',
  tookS,
  weighedG,
});
const buildWith = (measured: readonly MeasuredPrint[]): Build => {
  const build = newBuild({ name: 'Helm', file: 'helm.stl', sha256: '0'.repeat(64) });
  return { ...build, machines: [{ ...build.machines[0]!, measured: [...measured] }] };
};
const pieces = { pieces: [{ id: 'A', name: 'crown' }] } as unknown as PiecesRecord;

function blocksOf(build: Build): ReturnType<typeof measuredBlocks> {
  const machine = build.machines[0]!;
  const { factors, gramsFactor } = learnFrom(machine.measured);
  const printS = TIME_PARTS.reduce((sum, part) => sum + parts[part] * factors[part], 0);
  const chosen = {
    machine,
    time: { parts },
    material: { filamentG: 70 * gramsFactor, supportG: 10 * gramsFactor },
  } as unknown as PosedPrint;
  const printing = {
    prints: [{ piece: 'A', machine: machine.id, printS, ...estimateOf(chosen) }],
    splices: null,
    learnt: learntMachines(build.machines),
  } as unknown as PrintingRecord;
  return measuredBlocks(build, pieces, printing);
}

describe('what is said of measured prints', () => {
  it('without any: that hours come from figures alone, and how far they may be off', () => {
    const [first] = sentences(blocksOf(buildWith([])));
    expect(first).toContain('No print of the machine has been measured');
    expect(first).toMatch(/off by 2\d\.\d+ percent of its hours and 1\d\.\d+ percent of its grams/);
  });

  it('with some: from how many, how much longer, what of it, and the grams', () => {
    const longer = sumOfParts(parts) * 1.2;
    const [first] = sentences(blocksOf(buildWith([print(longer, 84), print(longer, 84), print(longer)])));
    expect(first).toContain('From three measured prints of the machine: what it prints here takes ');
    expect(first).toMatch(/takes 1[89]\.\d+ percent longer than its figures say; the two/);
    expect(first).toMatch(/; the two that were weighed say that it lays \d\.\d+ percent more plastic than estimated/);
    expect(first).toMatch(/still be off by \d\.\d+ percent of its hours/);
  });

  it('names a part that stands out from the rest', () => {
    const prints = [0, 3000, 6000, 9000, 12_000].map((support): MeasuredPrint => {
      const own = { ...parts, support };
      return { ...print(sumOfParts(own) + 0.5 * support), parts: own };
    });
    const [first] = sentences(blocksOf(buildWith(prints)));
    expect(first).toMatch(/, by the look of it [23]\d percent longer on support; none was weighed/);
  });

  it('lists them with what was estimated then, each with the word that forgets it', () => {
    const blocks = blocksOf(buildWith([print(20_000, 84), print(21_000)]));
    const table = blocks.find((block) => block.b === 'table');
    expect(table?.b === 'table' && table.rows.length).toBe(2);
    const deeds = table?.b === 'table' ? table.rows.flat(2).filter((span) => span.s === 'deed') : [];
    expect(deeds.map((deed) => deed.s === 'deed' && [deed.path, deed.does, deed.index])).toEqual([
      ['machines.0.measured', 'remove', 0],
      ['machines.0.measured', 'remove', 1],
    ]);
  });

  it('offers every print with all that is kept of it but the measurement, and the build takes it', () => {
    const build = buildWith([]);
    const spans = blocksOf(build).flatMap((block) => (block.b === 'say' ? block.spans : []));
    const span = spans.find((each): each is Extract<Span, { s: 'measured' }> => each.s === 'measured')!;
    expect(span.prints.map(({ label, path, estimatedS, estimatedG }) => [label, path, estimatedS, estimatedG])).toEqual(
      [['A crown', 'machines.0.measured', sumOfParts(parts), 80]],
    );
    const entry = { ...JSON.parse(span.prints[0]!.entry), tookS: 20_000, weighedG: null };
    const read = readBuild({ ...build, machines: [{ ...build.machines[0]!, measured: [entry] }] });
    expect(read.ok && read.value.machines[0]!.measured).toEqual([print(20_000)]);
    const far = readBuild({ ...build, machines: [{ ...build.machines[0]!, measured: [{ ...entry, tookS: 200 }] }] });
    expect(far.ok || far.why).toContain('machines.0.measured.0.tookS must lie between a third and three times');
  });
});

describe('a measured print', () => {
  it('computes Printing again and what follows it, nothing else', () => {
    expect(followsOf('machines.0.measured')).toEqual(['printing', 'beds', 'surface']);
    const [before, after] = [buildWith([]), buildWith([print(20_000)])];
    const source = { mesh: 'm' } as never;
    for (const [name, chapter] of Object.entries(CHAPTERS)) {
      const settings = (build: Build): string => JSON.stringify(chapter.settingsOf(build, source));
      expect([name, settings(before) === settings(after)]).toEqual([name, name !== 'printing' && name !== 'beds']);
    }
  });

  it('of another material teaches hours, not grams', () => {
    const build = buildWith([print(20_000, 84), { ...print(20_000, 84), material: 'petg' }]);
    const { machines } = CHAPTERS.printing.settingsOf(build, { mesh: 'm' } as never) as {
      machines: { measured: MeasuredPrint[] }[];
    };
    expect(machines[0]!.measured.map(({ weighedG }) => weighedG)).toEqual([84, null]);
  });

  it('is told in the history, and a machine without the list has none', () => {
    const [before, after] = [buildWith([]), buildWith([print(20_000)])];
    expect(changeWords(before, after, new Map())).toBe('Measured prints: “A crown” added');
    expect(changeWords(after, before, new Map())).toBe('Measured prints: “A crown” forgotten');
    const { measured: _none, ...older } = ordinaryMachine([220, 220, 250]);
    const read = readBuild({ ...before, machines: [older] });
    expect(read.ok && read.value.machines[0]!.measured).toEqual([]);
  });
});
