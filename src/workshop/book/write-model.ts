// Writes the Model chapter.
import type { Confidence, ModelRecord } from '../process/model-record.ts';
import type { Block } from './book-text.ts';
import type { Build } from './build-file.ts';
import { choice, editable } from './editable.ts';
import { countWord, quantity, say, term } from './spans.ts';

const SURENESS: Readonly<Record<Confidence, string>> = {
  given: 'as you set it',
  sure: 'with nothing speaking against it',
  likely: 'which is likely but worth a look',
  unsure: 'which is only a guess: please look and correct it',
};

export function writeModel(build: Build, model: ModelRecord): readonly Block[] {
  const [w, d, h] = model.sizeMm;
  const unit = choice(build, 'model.unit', {
    label: 'Unit of the file',
    options: [
      { value: null, label: 'the unit the file states, else millimetres' },
      { value: 'mm', label: 'millimetres' },
      { value: 'cm', label: 'centimetres' },
      { value: 'm', label: 'metres' },
      { value: 'in', label: 'inches' },
    ],
  });
  return [
    say(
      'The file ',
      term(build.model.file),
      ' holds one ',
      model.closed ? 'closed' : 'open',
      ' shell of ',
      quantity(model.triangles, 'count'),
      ' triangles: ',
      quantity(model.volumeMm3, 'mm3', 1),
      ' of material under ',
      quantity(model.areaMm2, 'mm2'),
      ' of surface. Read in ',
      unit,
      ', it stands ',
      quantity(w, 'mm', 1),
      ' wide, ',
      quantity(d, 'mm', 1),
      ' deep and ',
      quantity(h, 'mm', 1),
      ' high.',
    ),
    say(
      'Up was found ',
      model.up.because,
      ', ',
      SURENESS[model.up.confidence],
      '; front ',
      model.front.because,
      ', ',
      SURENESS[model.front.confidence],
      '.',
    ),
    say(
      'Should it lean, tip it forward by ',
      turn(build, 0, 'Turn about the left-right axis'),
      ', to its left by ',
      turn(build, 1, 'Turn about the front-back axis'),
      ', and turn it on its foot by ',
      turn(build, 2, 'Turn about the upright axis'),
      '.',
    ),
    { b: 'drawing', name: 'whole', caption: 'The shell, levelled, seen from its front left.' },
    symmetrySentence(model),
    say(
      'Through the wall it is ',
      quantity(model.wallMm.p50, 'mm', 2),
      ' at the middle of all its surface; the thinnest hundredth of the surface has ',
      quantity(model.wallMm.p1, 'mm', 2),
      ' or less behind it, the thickest twentieth more than ',
      quantity(model.wallMm.p95, 'mm', 2),
      '. Thickness is measured along the inward normal.',
    ),
    openingsSentence(model),
  ];
}

function turn(build: Build, axis: 0 | 1 | 2, label: string): ReturnType<typeof editable> {
  return editable(build, `model.level.turnDeg.${axis}`, { label, unit: 'deg', digits: 1, step: 0.5, missing: 0 });
}

function symmetrySentence(model: ModelRecord): Block {
  if (model.symmetry === null)
    return say('No plane was found that mirrors its left to its right; it stands by its middle.');
  return say(
    'Its left mirrors its right: a mirrored copy lies within ',
    quantity(model.symmetry.p95Mm, 'mm', 2),
    ' over nineteen twentieths of the surface, ',
    SURENESS[model.symmetry.confidence],
    '.',
  );
}

function openingsSentence(model: ModelRecord): Block {
  const neck = model.openings.find((opening) => opening.name === 'neck');
  const front = model.openings.find((opening) => opening.name === 'front');
  if (neck === undefined) return say('No hollow with a way in was found: it is treated as a solid.');
  const others = model.openings.filter((opening) => opening.name === 'other').length;
  return say(
    'Seen from inside the hollow, the neck opening takes ',
    quantity(neck.share * 100, 'percent', 1),
    ' of all directions',
    ...(front === undefined ? [] : [', the front opening ', quantity(front.share * 100, 'percent', 1)]),
    others > 0
      ? `; there ${others === 1 ? 'is' : 'are'} ${countWord(others)} smaller one${others === 1 ? '' : 's'}.`
      : '.',
  );
}
