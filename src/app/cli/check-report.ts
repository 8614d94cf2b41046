// The Model chapter as plain lines for a terminal.
import type { Block, BookText, Span } from '../../workshop/book/book-text.ts';
import { type Shown, showQuantity, showSetting } from '../web/format.ts';

export function reportLines(text: BookText): string {
  const model = text.chapters[0]!;
  const lines = [...model.blocks, ...model.margin].flatMap(blockLines);
  return [text.title, '', ...lines].join('\n');
}

function blockLines(block: Block): readonly string[] {
  switch (block.b) {
    case 'say':
      return [...wrap(block.spans.map(spanWords).join('')), ''];
    case 'finding':
      return [...wrap(`${block.finding.severity}: ${block.finding.say} (${block.finding.code})`), ''];
    case 'refusal':
      return [...wrap(`refused: ${block.why}`), ...wrap(`try: ${block.tryThis} (${block.code})`), ''];
    case 'caution':
      return [...wrap(`${block.title}: ${block.text}`), ''];
    default:
      return [];
  }
}

function spanWords(span: Span): string {
  switch (span.s) {
    case 'text':
    case 'term':
      return span.text;
    case 'quantity':
      return joined(showQuantity(span.value, span.unit, { digits: span.digits }));
    case 'number':
      return joined(showSetting(span.value, span.unit, span.digits, 'mm'));
    case 'choice':
      return span.options.find((option) => option.value === span.value)?.label ?? span.value;
  }
}

function joined({ number, unit }: Shown): string {
  return `${number}${unit}`;
}

function wrap(words: string, width = 96): readonly string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of words.split(' ')) {
    if (line !== '' && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  return [...lines, line];
}
