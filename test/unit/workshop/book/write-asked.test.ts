// The sentences and words by which a maker asks for seams.
import { describe, expect, it } from 'vitest';
import { byNames } from '../../../../src/workshop/book/asked-words.ts';
import type { Block, Span } from '../../../../src/workshop/book/book-text.ts';
import { CHAPTERS } from '../../../../src/workshop/book/chapters.ts';
import { AskedMachine, AskedSeam } from '../../../../src/workshop/process/asked-seams.ts';
import { askedBuild, askedPage } from '../../../support/asked-page.ts';

const pieces = askedPage().state.text!.chapters.find(({ name }) => name === 'pieces')!;
const spansOf = (block: Block): readonly Span[] =>
  block.b === 'say' ? block.spans : block.b === 'table' ? [...block.rows.flat(2), ...(block.total ?? []).flat()] : [];
const spans = pieces.blocks.flatMap(spansOf);
const kinds = <S extends Span['s']>(s: S) => spans.filter((span): span is Extract<Span, { s: S }> => span.s === s);

describe('what is asked, in the text', () => {
  it('is a sentence a thing, with its name and a word that lets it go', () => {
    expect(kinds('name').map(({ path, value }) => [path, value])).toEqual([
      ['pieces.asked.seams.0.name', 'Brow'],
      ['pieces.asked.clear.0.name', 'Badge'],
    ]);
    expect(kinds('deed').filter(({ does }) => does === 'remove')).toMatchObject([
      { path: 'pieces.asked.seams', index: 0, of: 1, says: 'Let it go' },
      { path: 'pieces.asked.clear', index: 0, of: 1, says: 'Let seams cross it' },
    ]);
    expect(kinds('plane')).toMatchObject([
      { path: 'pieces.asked.seams.0', normal: [0, 0, 1], offsetMm: 175, scale: 1 },
    ]);
  });

  it('holds a seam that was found by an entry that the build file takes', () => {
    const [hold] = kinds('deed').filter(({ does }) => does === 'add');
    expect(hold).toMatchObject({ path: 'pieces.asked.seams', says: 'hold it', label: 'Seam B-C' });
    expect(AskedSeam.parse(JSON.parse(hold!.entry))).toEqual({
      name: 'Seam B-C',
      points: [{ atMm: [60, -137, 90], normal: [0, 0, 1] }],
      normal: [0, 0, 1],
      within: [],
    });
  });

  it('tells what is refused by the maker’s names', () => {
    const { asked } = askedBuild().pieces;
    expect(
      byNames('The first seam asked for crosses the first area kept clear; the second seam asked for not.', asked),
    ).toBe('“Brow” crosses “Badge”; the second seam asked for not.');
  });

  it('gives every piece a choice of machines', () => {
    expect(kinds('entry').map(({ label, value }) => [label, value])).toEqual(
      ['A', 'B', 'C'].map((id) => [`Machine for piece ${id}`, null]),
    );
    const { options } = kinds('entry')[0]!;
    expect(options.map(({ entry }) => (entry === null ? null : AskedMachine.parse(JSON.parse(entry)).machine))).toEqual(
      [null, ...askedBuild().machines.map(({ id }) => id)],
    );
  });

  it('offers to point at more, under names that are free', () => {
    expect(kinds('places')).toMatchObject([
      { makes: 'seam', name: 'Seam 1', least: 2 },
      { makes: 'area', name: 'Area 1', least: 3 },
    ]);
  });

  it('computes nothing anew for a name', () => {
    const build = askedBuild();
    const { asked } = build.pieces;
    const renamed = {
      ...build,
      pieces: { ...build.pieces, asked: { ...asked, seams: asked.seams.map((seam) => ({ ...seam, name: 'Other' })) } },
    };
    const source = { mesh: 'same' };
    expect(CHAPTERS.pieces.settingsOf(renamed, source)).toEqual(CHAPTERS.pieces.settingsOf(build, source));
  });
});
