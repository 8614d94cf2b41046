// What a block says but for its numbers: by it rows of two books are matched, and by it a control keeps what is being typed while blocks before it come and go.
import type { Block, Span } from '../../workshop/book/book-text.ts';

/** Keys of blocks in their order, each once: what the block says, of a sentence with controls what they set, with a count where several are the same. */
export function blockKeys(): (block: Block) => string {
  const seen = new Map<string, number>();
  return (block) => {
    const paths = block.b === 'say' ? block.spans.flatMap((span) => ('path' in span ? [span.path] : [])) : [];
    const key = paths.length > 0 ? `say ${paths.join(' ')}` : blockSkeleton(block);
    const before = seen.get(key) ?? 0;
    seen.set(key, before + 1);
    return before === 0 ? key : `${key} ${before + 1}`;
  };
}

/** What it says, without its numbers; drawings of single pieces are all one. */
export function blockSkeleton(block: Block): string {
  switch (block.b) {
    case 'say':
      return `say ${block.spans.map(spanWords).join('')}`;
    case 'table':
      return `table ${block.columns.map(({ head }) => head).join('|')}`;
    case 'finding':
      return `finding ${block.finding.code}`;
    case 'caution':
      return `caution ${block.title}`;
    case 'refusal':
      return `refusal ${block.code}`;
    case 'drawing':
      return isPieceDrawing(block) ? 'drawings of pieces' : `drawing ${block.name}`;
    case 'strip':
      return 'strip';
  }
}

function spanWords(span: Span): string {
  if (span.s === 'text') return span.text.replace(/\d+/g, '#');
  if (span.s === 'term') return '@';
  return span.s === 'quantity' ? '#' : `<${span.path}>`;
}

/** Of a single piece as it lies, from above or from below, or of a single bed. */
export function isPieceDrawing(block: Block): boolean {
  return block.b === 'drawing' && /^(piece-|scars-|bed-\d)/.test(block.name);
}
