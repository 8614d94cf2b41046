// Written blocks as plain words, for tests that read a chapter as a maker does.
import type { Block, Span } from '../../src/workshop/book/book-text.ts';

export function wordsOf(spans: readonly Span[]): string {
  return spans
    .map((span) => {
      if (span.s === 'quantity' || span.s === 'number') return `${span.value} ${span.unit}`;
      if (span.s === 'choice') return span.options.find(({ value }) => value === span.value)!.label;
      return 'text' in span ? span.text : '';
    })
    .join('');
}

export function sentences(blocks: readonly Block[]): string[] {
  return blocks.flatMap((block) => (block.b === 'say' ? [wordsOf(block.spans)] : []));
}

/** Rows of the tables whose caption starts so, cells parted by bars. */
export function tableRows(blocks: readonly Block[], caption: string): string[] {
  return blocks.flatMap((block) =>
    block.b === 'table' && block.caption.startsWith(caption)
      ? block.rows.map((row) => row.map((cell) => wordsOf(cell)).join(' | '))
      : [],
  );
}
