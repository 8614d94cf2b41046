// The chapters Model and Wearer as one page for a terminal: what it is, what was mended, what to look at, what to decide.
import type { FindingCode } from '../../base/codes.ts';
import type { Finding } from '../../base/findings.ts';
import type { Block, BookText, Span } from '../../workshop/book/book-text.ts';
import { type Shown, showQuantity, showSetting } from '../web/format.ts';

const WIDTH = 96;

export function reportLines(text: BookText): string {
  const [model, wearer] = text.chapters;
  const findings = findingsOf(text);
  const mended = findings.filter(isMending);
  const rest = findings.filter((finding) => !isMending(finding));
  const blocks = [model, wearer].flatMap((chapter) => chapter?.blocks ?? []);
  const refusals = blocks.flatMap((block) => (block.b === 'refusal' ? [block] : []));
  return [
    text.title,
    '='.repeat(text.title.length),
    ...section('What it is', (model?.blocks ?? []).flatMap(sentence)),
    ...section('How it is worn', wearer?.state === 'computed' ? wearer.blocks.flatMap(sentence) : []),
    ...section(
      'What stands in the way',
      refusals.map(({ why, code }) => `${why} (${code})`),
    ),
    ...section('What was mended', mended.map(said)),
    ...section('What to look at', rest.filter(({ severity }) => severity !== 'note').map(said)),
    ...section('Noted in passing', rest.filter(({ severity }) => severity === 'note').map(said)),
    ...section('What to decide', [
      ...refusals.map(({ tryThis }) => tryThis),
      ...findings.flatMap(({ code }) => (isSettled(code, findings) ? [] : (DECISIONS[code] ?? []))),
    ]),
  ].join('\n');
}

/** Everything that was found on the way to the shell as it is worn. */
export function findingsOf(text: BookText): readonly Finding[] {
  return text.chapters
    .slice(0, 2)
    .flatMap(({ margin }) => margin)
    .flatMap((block) => (block.b === 'finding' ? [block.finding] : []));
}

/** What a finding leaves to the maker, and the option that decides it. */
const DECISIONS: Readonly<Partial<Record<FindingCode, string>>> = {
  UP_UNSURE: 'Which way is up: --up with an axis of the file, such as --up +z.',
  FRONT_UNSURE: 'Which way is front: --front with an axis of the file, such as --front -y.',
  UNIT_GUESSED: 'The unit, if the guess is wrong: --unit mm, cm, m or in.',
  UNIT_DOUBTFUL: 'The unit: --unit mm, cm, m or in.',
  WALL_THIN: 'Whether the thin places may stay: --wall moves the inner surface to one wall everywhere.',
  MESH_CROSSES: 'Whether the crossings that remain matter: --rebuild makes the surface anew.',
  MENDED_REBUILT: 'Whether the rebuilt surface is close enough: --cells with a higher number follows it closer.',
};

/** What the option named was already used for. */
function isSettled(code: FindingCode, findings: readonly Finding[]): boolean {
  const has = (other: FindingCode): boolean => findings.some((finding) => finding.code === other);
  return (code === 'MESH_CROSSES' && has('MENDED_REBUILT')) || (code === 'WALL_THIN' && has('WALL_KEPT'));
}

function isMending({ code }: Finding): boolean {
  return code.startsWith('MENDED_');
}

function said({ say, code }: Finding): string {
  return `${say} (${code})`;
}

function section(head: string, entries: readonly string[]): readonly string[] {
  if (entries.length === 0) return [];
  const once = entries.filter((entry, index) => entries.indexOf(entry) === index);
  return [
    '',
    head,
    ...once.flatMap((entry) => wrap(entry, WIDTH - 4).map((line, i) => `${i === 0 ? '  - ' : '    '}${line}`)),
  ];
}

function sentence(block: Block): readonly string[] {
  return block.b === 'say' && block.offers !== true ? [block.spans.map(spanWords).join('')] : [];
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
    case 'name':
      return span.value;
    case 'deed':
    case 'places':
    case 'measured':
      return '';
    case 'entry':
      return span.options.find(({ entry }) => entry === span.value)?.label ?? '';
    default:
      return span.label;
  }
}

function joined({ number, unit }: Shown): string {
  return `${number}${unit}`;
}

function wrap(words: string, width: number): readonly string[] {
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
