// The page of a helm in five pieces with everything a book can carry: questions, findings with places, an offer, machines to choose
// from. The sentences and numbers are invented.
import type { BuildState } from '../../src/app/api/api.ts';
import { encodeFigure } from '../../src/app/api/figure-codec.ts';
import type { Finding, Where } from '../../src/base/findings.ts';
import type { Block, BookText, ChapterText, Decision } from '../../src/workshop/book/book-text.ts';
import { type Build, newBuild } from '../../src/workshop/book/build-file.ts';
import { ordinaryWorkshop } from '../../src/workshop/facts/workshop.ts';
import { FIXTURE_BOOK, FIXTURE_DRAWINGS, fixtureFigure } from '../unit/app/web/fixture.ts';
import type { GivenPage } from './page-server.ts';

const MARGINS: Readonly<Partial<Record<ChapterText['name'], readonly Block[]>>> = {
  model: [found('FRONT_UNSURE', 'caution', 'Which way is front is a guess.', { path: 'front' })],
  wearer: [
    found(
      'WALL_THIN',
      'caution',
      'Above the brow the wall is 0.7 mm thick, thinner than two contour passes (0.8 mm).',
      {
        path: 'wall',
        space: 'worn',
        atMm: [0, -147, 200],
      },
    ),
    found('WALL_KEPT', 'note', 'The inner surface was moved so that the wall is 3.0 mm everywhere.', {
      path: 'wall',
      space: 'file',
      atMm: [0, 147, 200],
    }),
  ],
  printing: [
    found('FOOT_SMALL', 'caution', 'Piece C stands on 0.8 cm² of the bed.', {
      path: 'printing',
      space: 'laid',
      atMm: [60, 20, 0],
      piece: 'C',
    }),
  ],
};
const DECISIONS: readonly Decision[] = [
  { chapter: 'model', asks: 'Which unit is the file in?', path: 'model.unit' },
  { chapter: 'wearer', asks: 'How large is it worn?', path: 'wearer.size' },
];

export function fullPage(): GivenPage {
  const workshop = ordinaryWorkshop();
  const build = newBuild({ name: FIXTURE_BOOK.title, file: 'keepers-helm.stl', sha256: 'a'.repeat(64) });
  const newer = { ...build.machines[0]!, outerWallSpeedMmS: 60, revision: 2 };
  const state: BuildState = {
    id: 'one',
    turn: 1,
    build,
    version: 1,
    text: textOf(build),
    summary: null,
    drawings: FIXTURE_DRAWINGS,
    computing: null,
    stale: [],
    figureTurn: 1,
    figureIs: 'whole',
    trouble: null,
    canUndo: false,
    canRedo: false,
    offers: [{ path: 'machines.0', name: 'machine of 220 mm', says: 'Outer pass speed 40 to 60 mm/s.', value: newer }],
  };
  return { state, figure: encodeFigure(fixtureFigure()), workshop };
}

function textOf(build: Build): BookText {
  const [machine] = build.machines;
  const machines: readonly Block[] = [
    {
      b: 'say',
      spans: [
        { s: 'text', text: 'It is printed on ' },
        {
          s: 'choice',
          path: 'machines.0',
          label: 'Machine',
          value: JSON.stringify(machine),
          options: [{ value: JSON.stringify(machine), label: machine!.name }],
          follows: ['wearer', 'pieces', 'printing'],
        },
        { s: 'text', text: ' and ' },
        {
          s: 'choice',
          path: 'machines',
          label: 'Another machine',
          value: JSON.stringify(build.machines),
          options: [{ value: JSON.stringify(build.machines), label: 'no other machine' }],
          follows: ['wearer', 'pieces', 'printing'],
        },
        { s: 'text', text: '.' },
      ],
    },
  ];
  return {
    ...FIXTURE_BOOK,
    chapters: FIXTURE_BOOK.chapters.map((chapter) => ({
      ...chapter,
      decisions: DECISIONS.filter((decision) => decision.chapter === chapter.name),
      blocks: chapter.name === 'pieces' ? [...machines, ...chapter.blocks] : chapter.blocks,
      margin: [...(MARGINS[chapter.name] ?? []), ...chapter.margin],
    })),
  };
}

function found(code: Finding['code'], severity: Finding['severity'], say: string, where: Where): Block {
  return {
    b: 'finding',
    finding: { kind: 'finding', code, severity, where, measured: null, limit: null, unit: '', say },
  };
}
