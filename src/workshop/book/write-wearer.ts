// Writes the Wearer chapter.
import type { WearerRecord } from '../process/wearer-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable } from './editable.ts';
import { offer, quantity, say } from './spans.ts';

export function writeWearer(build: Build, wearer: WearerRecord | null): readonly Block[] {
  const blocks: Block[] = [offer('Make it ', ...sizeSpans(build, wearer), '.')];
  if (wearer === null) return blocks;
  const [w, d, h] = wearer.sizeMm;
  blocks.push(
    say(
      'That is ',
      quantity(wearer.scale, 'factor', 3),
      ' times the size of the file: ',
      quantity(w, 'mm', 1),
      ' wide, ',
      quantity(d, 'mm', 1),
      ' deep, ',
      quantity(h, 'mm', 1),
      ' high, with a middle wall of ',
      quantity(wearer.wallMm, 'mm', 2),
      '.',
    ),
    wallSentence(build, wearer),
    girthSentence(wearer),
  );
  return blocks;
}

function wallSentence(build: Build, wearer: WearerRecord): Block {
  const usual = within(Math.round(wearer.wallMm * 10) / 10, 0.4, 40);
  const { wallMm } = build.wearer;
  const how = choice(build, 'wearer.wallMm', {
    label: 'What becomes of the wall',
    options: [
      { value: null, label: 'grows with the model' },
      { value: wallMm ?? usual, label: 'is kept at a thickness of its own' },
    ],
  });
  if (wallMm === null) return offer('The wall ', how, '.');
  return say(
    'The wall ',
    how,
    ', ',
    editable(build, 'wearer.wallMm', { label: 'Wall at worn size', unit: 'mm', digits: 1, step: 0.1 }),
    ', by moving the inner surface; the outside stays as it is.',
  );
}

export const WEARER_CAUTION: Block = {
  b: 'caution',
  title: 'Not protective equipment',
  text: 'A costume helm is not a protective helmet. It narrows sight and hearing and holds heat and breath: try it on for a few minutes with somebody near, and plan breaks.',
};

function sizeSpans(build: Build, wearer: WearerRecord | null): readonly (string | Span)[] {
  const size = build.wearer.size;
  const headMm = within(Math.round(wearer?.girth?.headMm ?? 580), 450, 650);
  const heightMm = within(Math.round(wearer?.sizeMm[2] ?? 300), 20, 1500);
  const by = choice(build, 'wearer.size', {
    label: 'How the size is given',
    chosen: size,
    options: [
      { value: size.by === 'scale' ? size : { by: 'scale', scale: wearer?.scale ?? 1 }, label: 'by a factor' },
      { value: size.by === 'height' ? size : { by: 'height', heightMm }, label: 'by its height' },
      {
        value: size.by === 'head' ? size : { by: 'head', circumferenceMm: headMm, clearanceMm: 8 },
        label: 'by a head',
      },
    ],
  });
  if (size.by === 'scale')
    return [
      'to size ',
      by,
      ': ',
      editable(build, 'wearer.size.scale', { label: 'Factor', unit: 'factor', digits: 3, step: 0.01 }),
      ' times the file',
    ];
  if (size.by === 'height')
    return [
      'to size ',
      by,
      ': ',
      editable(build, 'wearer.size.heightMm', { label: 'Height', unit: 'mm', digits: 1, step: 1 }),
      ' from top to foot',
    ];
  return [
    'to size ',
    by,
    ': a tape of ',
    editable(build, 'wearer.size.circumferenceMm', { label: 'Head circumference', unit: 'mm', digits: 0, step: 5 }),
    ' round the brow, with ',
    editable(build, 'wearer.size.clearanceMm', { label: 'Clearance all round', unit: 'mm', digits: 1, step: 1 }),
    ' of air or padding on every side',
  ];
}

function girthSentence(wearer: WearerRecord): Block {
  const girth = wearer.girth;
  if (girth === null) return say('There is no closed hollow at brow height, so no head can be measured against it.');
  return say(
    'At brow height, ',
    quantity(girth.browMm, 'mm', 0),
    ' above the foot, a tape laid round the inside reads ',
    quantity(girth.innerMm, 'mm', 0),
    '. With ',
    quantity(girth.clearanceMm, 'mm', 1),
    ' of clearance all round (6.28 times that off the tape) a head of ',
    quantity(girth.headMm, 'mm', 0),
    ' sits in it.',
  );
}

/** A choice begins with a value its own range allows, whatever the model measures. */
function within(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value));
}
