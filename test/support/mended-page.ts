// The page of a mended dome, and that of one no shell could be made of, for tests in the browser. The sentences are invented.
import type { BuildState } from '../../src/app/api/api.ts';
import { drawBook } from '../../src/app/worker/draw-book.ts';
import { figureOf } from '../../src/app/worker/figure-of.ts';
import { QUIET_WORK } from '../../src/base/work.ts';
import { memoryMeshStore } from '../../src/mesh/memory-mesh-store.ts';
import type { Block, BookText, ChapterText } from '../../src/workshop/book/book-text.ts';
import { newBuild } from '../../src/workshop/book/build-file.ts';
import { choice, followsOf } from '../../src/workshop/book/editable.ts';
import type { BookResults } from '../../src/workshop/book/graph.ts';
import { say } from '../../src/workshop/book/spans.ts';
import type { ChapterWork } from '../../src/workshop/process/chapter-work.ts';
import { mendedHelm } from './mended-helm.ts';
import type { GivenPage } from './page-server.ts';

const build = newBuild({ name: 'Dome with holes', file: 'dome.stl', sha256: 'a'.repeat(64) });

export function mendedPage(): GivenPage {
  const meshes = memoryMeshStore();
  const work = { ...QUIET_WORK, seed: 1, meshes } as unknown as ChapterWork;
  const { results } = mendedHelm(meshes);
  const blocks: readonly Block[] = [
    say('Before anything else its surface was mended, in three ways that the margin tells.'),
    { b: 'drawing', name: 'as-read', caption: 'As it came; red is where its surface ends.' },
    { b: 'drawing', name: 'whole', caption: 'The shell, mended and levelled, from its front left.' },
    say(
      'Should it still lean, level it by hand: ',
      {
        s: 'points',
        path: 'model.level.levelPoints',
        label: 'Places that lie level',
        count: 3,
        value: null,
        what: 'places that lie level',
        such: 'on the rim of the neck, for example',
        follows: followsOf('model.level.levelPoints'),
      },
      '.',
    ),
  ];
  return {
    state: { ...stateOf([chapter('model', 'computed', blocks), ...REST]), drawings: drawBook(results, work) },
    figure: figureOf(results, work),
  };
}

export function refusedPage(): GivenPage {
  const meshes = memoryMeshStore();
  const work = { ...QUIET_WORK, seed: 1, meshes } as unknown as ChapterWork;
  const source = meshes.put(mendedHelm(meshes).asRead);
  const refusal = { ok: false, code: 'MESH_OPEN', why: '', tryThis: '' } as const;
  const results: BookResults = {
    model: { state: 'refused', fingerprint: 'm', reused: false, refusal },
    wearer: { state: 'waiting', fingerprint: 'w', on: 'model' },
    pieces: { state: 'waiting', fingerprint: 'p', on: 'model' },
    joints: { state: 'waiting', fingerprint: 'j', on: 'model' },
    printing: { state: 'waiting', fingerprint: 'r', on: 'model' },
    beds: { state: 'waiting', fingerprint: 'b', on: 'model' },
    assembly: { state: 'waiting', fingerprint: 'a', on: 'model' },
    surface: { state: 'waiting', fingerprint: 's', on: 'model' },
  };
  const openings = choice(build, 'model.mend.openings', {
    label: 'Large openings',
    options: [
      { value: 'ask', label: 'left as they are' },
      { value: 'wall', label: 'the rims of a sheet that is given a wall' },
      { value: 'close', label: 'closed with lids' },
    ],
  });
  const blocks: readonly Block[] = [
    {
      b: 'refusal',
      code: 'MESH_OPEN',
      why: 'The surface has three large openings and no wall: it bounds no solid.',
      tryThis: 'Say below what becomes of its openings.',
    },
    say('The large openings are ', openings, '.'),
    { b: 'drawing', name: 'as-read', caption: 'The model as it came; red is where its surface ends.' },
  ];
  return {
    state: {
      ...stateOf([chapter('model', 'refused', blocks), ...REST]),
      drawings: drawBook(results, work, { source }),
    },
    figure: figureOf(results, work, { source }),
  };
}

function chapter(name: ChapterText['name'], state: ChapterText['state'], blocks: readonly Block[]): ChapterText {
  const title = name.charAt(0).toUpperCase() + name.slice(1);
  return {
    name,
    title,
    asks: 'What is it, and is it sound?',
    state,
    fingerprint: name,
    decisions: [],
    blocks,
    margin: [],
  };
}

const REST: readonly ChapterText[] = (['wearer', 'pieces', 'printing'] as const).map((name) =>
  chapter(name, 'waiting', [say('This chapter waits.')]),
);

function stateOf(chapters: readonly ChapterText[]): BuildState {
  const text: BookText = {
    kind: 'book-text',
    version: 1,
    title: build.name,
    standfirst: [say('A dome that came with three holes in it.')],
    chapters,
  };
  return {
    id: 'one',
    turn: 1,
    build,
    version: 1,
    text,
    summary: null,
    drawings: {},
    computing: null,
    stale: [],
    figureTurn: 1,
    figureIs: 'whole',
    offers: [],
    trouble: null,
    canUndo: false,
    canRedo: false,
  };
}
