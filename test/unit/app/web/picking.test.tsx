import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { BookView } from '../../../../src/app/web/book-view.tsx';
import { nearestHit } from '../../../../src/app/web/figure-ray.ts';
import { oneModelOf } from '../../../../src/app/web/one-model.ts';
import {
  type Editing,
  type Picking,
  PLAIN_READER,
  type PointsSpan,
  ReaderContext,
} from '../../../../src/app/web/reader.ts';
import { spreadOut } from '../../../../src/app/web/use-picking.ts';
import { box, icoSphere } from '../../../../src/mesh/builders.ts';
import type { Mesh } from '../../../../src/mesh/mesh.ts';
import type { BookText, Span } from '../../../../src/workshop/book/book-text.ts';
import { say } from '../../../../src/workshop/book/spans.ts';

const shown = ({ positions, triangles }: Mesh) => ({ positions: Float32Array.from(positions), triangles });

describe('a line of sight', () => {
  const cube = shown(box([0, 0, 0], [10, 10, 10]));

  it('ends at the nearest side, either face of it', () => {
    expect(nearestHit(cube, { origin: [3, 4, 30], way: [0, 0, -1] })).toBeCloseTo(20, 5);
    expect(nearestHit(cube, { origin: [3, 4, 5], way: [0, 0, -1] })).toBeCloseTo(5, 5);
    expect(nearestHit(cube, { origin: [30, 4, 30], way: [0, 0, -1] })).toBe(Infinity);
  });

  it('leaves out what is nearer than asked', () => {
    expect(nearestHit(cube, { origin: [3, 4, 30], way: [0, 0, -1] }, 21)).toBeCloseTo(30, 5);
    expect(nearestHit(cube, { origin: [3, 4, 10], way: [0, 0, 1] }, 0.1)).toBe(Infinity);
  });

  it('meets a ball where the formula says', () => {
    const ball = shown(icoSphere(100, 6));
    for (const [x, y] of [
      [0, 0],
      [30, -20],
      [-70, 40],
    ] as const)
      expect(nearestHit(ball, { origin: [x, y, 200], way: [0, 0, -1] })).toBeCloseTo(
        200 - Math.sqrt(1e4 - x * x - y * y),
        0,
      );
  });
});

describe('places that tell a plane', () => {
  it.each([
    [[[0, 0, 0]], true],
    [
      [
        [0, 0, 0],
        [0, 0, 0],
      ],
      false,
    ],
    [
      [
        [0, 0, 0],
        [9, 0, 0],
      ],
      true,
    ],
    [
      [
        [0, 0, 0],
        [9, 0, 0],
        [4, 0, 0],
      ],
      false,
    ],
    [
      [
        [0, 0, 0],
        [9, 0, 0],
        [4, 0.2, 0],
      ],
      false,
    ],
    [
      [
        [0, 0, 0],
        [9, 0, 0],
        [4, 2, 0],
      ],
      true,
    ],
    [
      [
        [0, 0, 0],
        [9, 0, 0],
        [9, 0, 0],
      ],
      false,
    ],
  ] as const)('%j: %s', (points, holds) => {
    expect(spreadOut(points, 0.1)).toBe(holds);
  });
});

const points: PointsSpan = {
  s: 'points',
  path: 'model.level.levelPoints',
  label: 'Places that lie level',
  count: 3,
  value: null,
  what: 'places that lie level',
  such: 'on the rim of the neck',
  follows: ['model'],
};
const choice: Span = {
  s: 'choice',
  path: 'model.mend.openings',
  label: 'Large openings',
  value: '"ask"',
  options: [{ value: '"ask"', label: 'left as they are' }],
  follows: ['model'],
};
const editing = (values: Readonly<Record<string, unknown>>): Editing => ({
  valueAt: (path) => values[path],
  set: () => undefined,
  problemAt: () => undefined,
});
const PICKING: Picking = { now: null, begin: () => undefined, finish: () => undefined, giveUp: () => undefined };
const refusedBook = (span: Span): BookText => ({
  kind: 'book-text',
  version: 1,
  title: 'A sheet',
  standfirst: [],
  chapters: [
    {
      name: 'model',
      title: 'Model',
      asks: '',
      state: 'refused',
      fingerprint: 'm',
      decisions: [],
      margin: [],
      blocks: [{ b: 'refusal', code: 'MESH_OPEN', why: 'It is open.', tryThis: '' }, say('So: ', span, '.')],
    },
  ],
});
const set = (span: Span, by: Editing | null): string =>
  renderToStaticMarkup(
    <ReaderContext value={{ ...PLAIN_READER, editing: by, picking: by === null ? null : PICKING }}>
      <BookView text={refusedBook(span)} drawings={{}} />
    </ReaderContext>,
  );

describe('a refused chapter', () => {
  it('can be changed on the page and not in book.html', () => {
    expect(set(choice, editing({}))).toContain('<select');
    expect(set(choice, null)).not.toContain('<select');
  });

  it('says whether places are set, by the build rather than by the text', () => {
    expect(set(points, editing({}))).toContain('pick three places that lie level');
    const levelled = set(
      points,
      editing({
        'model.level.levelPoints': [
          [0, 0, 0],
          [1, 0, 0],
          [0, 1, 0],
        ],
      }),
    );
    expect(levelled).toContain('three places that lie level are set');
    expect(levelled).toContain('forget them');
    expect(set(points, null)).toContain('not done');
    expect(set(points, null)).not.toContain('<button');
  });
});

describe('of several files', () => {
  const file = (name: string): File => new File(['x'], name);

  it('takes the one that is a model', async () => {
    const one = await oneModelOf([file('helm.mtl'), file('Helm.OBJ'), file('skin.png')]);
    expect(one.ok && one.name).toBe('Helm.OBJ');
    const odd = await oneModelOf([file('helm.stp')]);
    expect(odd.ok && odd.name).toBe('helm.stp');
  });

  it('takes no two models, and no heap of other files', async () => {
    for (const files of [
      [file('a.stl'), file('b.ply')],
      [file('a.bin'), file('b.png')],
    ]) {
      const one = await oneModelOf(files);
      expect(!one.ok && one.problem.detail).toContain('a.');
    }
  });
});
