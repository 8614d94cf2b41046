import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BuildState } from '../../../../src/app/api/api.ts';
import { columnsOf } from '../../../../src/app/web/figure-columns.ts';
import { type Level, paceOfFrames, QUICK_MS, SLOW_MS } from '../../../../src/app/web/figure-pace.ts';
import { aimAlong, type Move, momentOf } from '../../../../src/app/web/figure-turn.ts';
import { placesOf } from '../../../../src/app/web/places-of.ts';
import { contentsOf, decisionsOf, standingsOf } from '../../../../src/app/web/standings.ts';
import { withWorkshop } from '../../../../src/app/web/workshop-options.ts';
import type { BookText, Span } from '../../../../src/workshop/book/book-text.ts';
import { readBuild } from '../../../../src/workshop/book/build-file.ts';
import { fullPage } from '../../../support/full-page.ts';
import { fixtureFigure } from './fixture.ts';

const { state, workshop } = fullPage();
const says = (of: BuildState, computing: BuildState['computing'] = null) =>
  contentsOf(of, computing).map((entry) => `${entry.tone}: ${entry.says}`);

describe('the contents', () => {
  it('tell what is asked, and lead to its control', () => {
    expect(says(state)).toEqual([
      'decide: Which unit is the file in?',
      'decide: How large is it worn?',
      'computed: computed',
      'computed: computed',
      'computed: computed',
      'computed: computed',
      'computed: computed',
      'computed: computed',
    ]);
    expect(contentsOf(state, null)[0]?.href).toBe('#model/model.unit');
    expect(decisionsOf(state)).toHaveLength(2);
  });

  it('ask nothing that a change may have answered', () => {
    const again = {
      ...state,
      stale: ['model', 'wearer', 'pieces', 'joints', 'printing', 'beds', 'assembly', 'surface'],
    };
    expect(says(again, { chapter: 'wearer', fraction: 0.414, doing: 'sizing' })).toEqual([
      'waiting: done',
      'computing: computing, 41% of all',
      'waiting: waiting',
      'waiting: waiting',
      'waiting: waiting',
      'waiting: waiting',
      'waiting: waiting',
      'waiting: waiting',
    ]);
    expect(decisionsOf(again)).toEqual([]);
    expect(Object.keys(standingsOf(again, null))).toHaveLength(8);
  });

  it('set back what is old, not what has never been computed', () => {
    const text = state.text as BookText;
    const chapters = text.chapters.map((each) =>
      each.name === 'printing' ? { ...each, state: 'waiting' as const } : each,
    );
    const first = { ...state, text: { ...text, chapters }, stale: ['pieces', 'printing'] };
    const standings = standingsOf(first, { chapter: 'pieces', fraction: 0, doing: '' });
    expect(standings.pieces?.stale).toBe(true);
    expect(standings.printing?.stale).toBe(false);
  });

  it('count the questions beyond the first', () => {
    const text = state.text as BookText;
    const twice = text.chapters.map((each) => ({ ...each, decisions: [...each.decisions, ...each.decisions] }));
    expect(contentsOf({ ...state, text: { ...text, chapters: twice } }, null)[0]?.more).toBe(1);
  });
});

describe('the pace', () => {
  const hear = (level: Level, ms: number, times: number, pace = paceOfFrames()) => {
    for (let i = 0; i < times; i++) pace.heard(level, ms);
    return pace;
  };

  it('begins coarse, and turns in full once a full frame at rest was quick', () => {
    expect(paceOfFrames().whileMoving).toBe('coarse');
    expect(hear('full', QUICK_MS - 1, 1).whileMoving).toBe('full');
    expect(hear('full', SLOW_MS + 1, 1).whileMoving).toBe('coarse');
  });

  it('does not change to and fro between its two bounds', () => {
    const between = (QUICK_MS + SLOW_MS) / 2;
    expect(hear('full', between, 5).whileMoving).toBe('coarse');
    const quick = hear('full', QUICK_MS - 1, 1);
    expect(hear('full', between, 50, quick).whileMoving).toBe('full');
    expect(hear('full', SLOW_MS * 2, 9, quick).whileMoving).toBe('coarse');
  });

  it('sketches where even a coarse frame is slow, and tries again when sketches have become quick', () => {
    const pace = hear('coarse', SLOW_MS * 3, 2);
    expect(pace.whileMoving).toBe('sketch');
    expect(hear('sketch', SLOW_MS, 500, pace).whileMoving).toBe('sketch');
    expect(hear('sketch', 4, 80, pace).whileMoving).toBe('coarse');
  });
});

describe('the columns of labels', () => {
  const label = fc.record({
    x: fc.double({ min: 0, max: 500, noNaN: true }),
    y: fc.double({ min: -50, max: 750, noNaN: true }),
    height: fc.integer({ min: 20, max: 66 }),
  });
  const room = { height: 700, left: 80, right: 420 };

  it('never cover one another nor leave the room, as long as there is room for them', () => {
    fc.assert(
      fc.property(fc.array(label, { maxLength: 24 }), (given) => {
        const { columns, fits } = columnsOf(
          given.map((each) => ({ ...each, of: each })),
          room,
        );
        expect(columns.flatMap(({ rows }) => rows)).toHaveLength(given.length);
        for (const { rows } of columns) {
          const boxes = rows.map(({ of, y }) => ({ top: y - 10.4, bottom: y - 10.4 + of.height }));
          for (const [i, box] of boxes.entries()) {
            if (fits && i > 0) expect(box.top).toBeGreaterThanOrEqual(boxes[i - 1]!.bottom - 1);
            expect(box.top).toBeGreaterThanOrEqual(-1);
            if (fits) expect(box.bottom).toBeLessThanOrEqual(room.height + 1);
          }
        }
      }),
    );
  });

  it('say when there are too many', () => {
    const many = Array.from({ length: 40 }, (_, i) => ({ x: i * 10, y: 300, height: 60, of: i }));
    expect(columnsOf(many, room).fits).toBe(false);
  });
});

describe('places of findings', () => {
  it('get letters in the order of the margins, in the space of the figure', () => {
    const figure = { ...fixtureFigure(), toFile: [2, 0, 0, 0, 2, 0, 0, 0, 2, 10, 0, 0], scale: 0.5 };
    const places = placesOf(state.text, figure);
    const at = (letter: string) =>
      places.find((place) => place.letter === letter)?.at.map((c) => Math.round(c * 1e3) / 1e3);
    expect(places.map(({ letter }) => letter).join('')).toBe('abcd');
    // a: model space, at half the size; b: as worn; c: file space; d: as piece C lies.
    expect(at('a')).toEqual([0, 10, 150]);
    expect(at('b')).toEqual([0, -147, 200]);
    expect(at('c')).toEqual([-5, 73.5, 100]);
    const { toLaid } = figure.parts[2]!;
    expect(at('d')).toEqual([60 - toLaid![9]!, 20 - toLaid![10]!, -toLaid![11]!].map((c) => Math.round(c * 1e3) / 1e3));
  });

  it('are none without a figure', () => {
    expect(placesOf(state.text, null)).toEqual([]);
    expect(placesOf(state.text, { ...fixtureFigure(), parts: [], scale: null, toFile: null })).toEqual([]);
  });
});

describe('choices from the workshop', () => {
  type ChoiceSpan = Extract<Span, { s: 'choice' }>;
  const span = (path: string, value: unknown): ChoiceSpan => ({
    s: 'choice',
    path,
    label: path,
    value: JSON.stringify(value),
    options: [{ value: JSON.stringify(value), label: 'as it is' }],
    follows: [],
  });
  const { machines } = state.build;
  const [first, , last] = workshop!.machines;

  it('stay as the text has them when the workshop is not known', () => {
    expect(withWorkshop(span('material', state.build.material), null, machines).options).toHaveLength(1);
  });

  it('offer the other materials, and keep the book’s own numbers of the one that stands', () => {
    const own = { ...state.build.material, densityGCm3: 1.5 };
    const choice = withWorkshop(span('material', own), workshop!, machines);
    expect(choice.options).toHaveLength(workshop!.materials.length);
    expect(choice.set(choice.value).value).toEqual(own);
  });

  it('make builds that hold, however machines are added and taken away', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(9), { maxLength: 9 }), (steps) => {
        let build = state.build;
        for (const step of steps) {
          const isAdding = step % 2 === 0 || build.machines.length === 1;
          const index = step % build.machines.length;
          const at = isAdding ? span('machines', build.machines) : span(`machines.${index}`, build.machines[index]);
          const choice = withWorkshop(at, workshop!, build.machines);
          const { path, value } = choice.set(choice.options[step % choice.options.length]!.value);
          const next =
            path === 'machines'
              ? value
              : build.machines.map((machine, i) => (`machines.${i}` === path ? value : machine));
          const read = readBuild({ ...build, machines: next });
          if (!read.ok) throw new Error(read.why);
          build = read.value;
        }
        return build.machines.length > 0;
      }),
    );
  });

  it('give a second machine of one kind a name of its own', () => {
    const choice = withWorkshop(span('machines', [last!]), workshop!, [last!]);
    const twice = choice.set(last!.id).value as typeof machines;
    expect(twice.map(({ id }) => id)).toEqual([last!.id, `${last!.id}-2`]);
    expect(twice[1]!.name).not.toBe(last!.name);
    expect((choice.set(first!.id).value as typeof machines)[1]).toEqual(first);
  });
});

describe('turning', () => {
  const move: Move = {
    from: [],
    to: [],
    viewFrom: { azimuthDeg: 350, elevationDeg: 0 },
    viewTo: { azimuthDeg: 10, elevationDeg: 40 },
    startMs: 0,
  };

  it('takes the shorter way round and ends where it should', () => {
    const half = momentOf(move, 325).view!;
    expect(half.azimuthDeg).toBeCloseTo(360, 6);
    expect(momentOf(move, 900)).toMatchObject({ isEnd: true, view: { azimuthDeg: 370, elevationDeg: 40 } });
  });

  it('aims along a direction: the front is azimuth 0, the wearer’s left 90', () => {
    expect(aimAlong({ x: 0, y: -1, z: 0 })).toEqual({ azimuthDeg: 0, elevationDeg: 0 });
    expect(aimAlong({ x: 1, y: 0, z: 0 }).azimuthDeg).toBeCloseTo(90, 6);
    expect(aimAlong({ x: 0, y: 0, z: 1 }).elevationDeg).toBeCloseTo(90, 6);
  });
});
