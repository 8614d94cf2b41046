// How the chapter Printing tells the ways a piece may lie: one choice a piece, a row a pose, and what it stands on.
import { describe, expect, it } from 'vitest';
import type { Block } from '../../../../src/workshop/book/book-text.ts';
import { newBuild } from '../../../../src/workshop/book/build-file.ts';
import { poseBlocks } from '../../../../src/workshop/book/write-poses.ts';
import type { PiecesRecord } from '../../../../src/workshop/process/pieces-record.ts';
import type { LyingPose, PrintingRecord } from '../../../../src/workshop/process/printing-record.ts';

const build = newBuild({ name: 'helm', file: 'helm.stl', sha256: '0'.repeat(64) });
const LYING: LyingPose = {
  up: [0, 0, 1],
  lies: 'hull face',
  machine: 'm',
  printS: 3600,
  supportG: 12,
  heldShownMm2: 300,
  heldElsewhereMm2: 0,
  terracesMm2: 100,
  heightMm: 100,
  footMm2: 900,
  ownFootMm2: 800,
  tipDeg: 30,
  riskShare: 0,
  scoreS: 4000,
};
const leaning = (deg: number, x: number): LyingPose['up'] => {
  const a = (deg * Math.PI) / 180;
  return [Math.sin(a) * x, 0, Math.cos(a)];
};

function blocks(poses: readonly LyingPose[], asked: number | null = null): readonly Block[] {
  const wish = { name: 'A', atMm: [1, 2, 3] as [number, number, number], up: [0, 0, 1] as [number, number, number] };
  const pieces = { pieces: [{ id: 'A', mark: { atMm: [2, 4, 6] } }], seams: [] } as unknown as PiecesRecord;
  const printing = { prints: [{ piece: 'A', poses, asked }] } as unknown as PrintingRecord;
  return poseBlocks(asked === null ? build : { ...build, poses: { asked: [wish] } }, pieces, printing, 2);
}

function firstCells(from: readonly Block[]): string[] {
  return rowsOf(from).map((row) => wordsOf(row[0]!));
}

function rowsOf(from: readonly Block[]) {
  const table = from.find((block) => block.b === 'table');
  if (table?.b !== 'table') throw new Error('no table');
  return table.rows;
}

function wordsOf(spans: readonly { readonly s: string }[]): string {
  return spans.map((span) => ('text' in span ? String(span.text) : '')).join('');
}

describe('ways to lie', () => {
  it('has a row for each, the printed one first, with short words', () => {
    const others = [
      { ...LYING, up: leaning(30, -1) },
      { ...LYING, up: leaning(40, 1) },
    ];
    expect(firstCells(blocks([LYING, ...others]))).toEqual([
      'A upright',
      'or upright, tipped 30° to the right',
      'or upright, tipped 40° to the left',
    ]);
  });

  it('says what each stands on', () => {
    const poses = [
      LYING,
      { ...LYING, ownFootMm2: 3 },
      { ...LYING, ownFootMm2: 150 },
      { ...LYING, footMm2: 20, ownFootMm2: 20 },
    ];
    expect(rowsOf(blocks(poses)).map((row) => wordsOf(row.at(-1)!))).toEqual([
      'its foot',
      'support',
      'a small foot',
      'a small foot',
    ]);
  });

  it('says that it lies as asked, and offers the way back', () => {
    const told = blocks([LYING], 0);
    expect(firstCells(told)).toEqual(['A upright, as you asked']);
    const [sentence] = told;
    const choice = sentence?.b === 'say' ? sentence.spans.find(({ s }) => s === 'entry') : undefined;
    if (choice?.s !== 'entry') throw new Error('no choice');
    expect(choice.options.map(({ label }) => label)).toEqual(['as it prints best', 'upright']);
    expect(choice.value).toBe(choice.options[1]!.entry);
  });

  it('keeps the place of a new wish in unscaled space', () => {
    const [sentence] = blocks([LYING]);
    const choice = sentence?.b === 'say' ? sentence.spans.find(({ s }) => s === 'entry') : undefined;
    if (choice?.s !== 'entry') throw new Error('no choice');
    expect(choice.value).toBe(null);
    expect(JSON.parse(choice.options[1]!.entry!)).toEqual({ name: 'A', atMm: [1, 2, 3], up: [0, 0, 1] });
  });
});
