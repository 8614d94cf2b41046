// A made-up house to look at: books in every state with drawings of the demo's own shapes, a workshop, a history with a branch.
import { readFileSync } from 'node:fs';
import type { BuildCard, BuildState, HistoryEntry } from '../../src/app/api/api.ts';
import { newBuild } from '../../src/workshop/book/build-file.ts';
import { ordinaryWorkshop } from '../../src/workshop/facts/workshop.ts';
import type { House } from './house-server.ts';

const HOUR_MS = 3_600_000;
const ago = (hours: number): string => new Date(Date.now() - hours * HOUR_MS).toISOString();

/** Line drawings of the demo's three shapes as the program drew them once, at 12 000 and 8 000 triangles. */
const drawn = (name: string): string => readFileSync(`test/fixtures/house/${name}.svg`, 'utf8').trim();

export function someCards(): BuildCard[] {
  const [helm, mask, guard] = ['keepers-helm', 'half-mask', 'shoulder-guard'].map(drawn);
  const card = (id: string, hours: number, rest: Partial<BuildCard>): BuildCard => ({
    id,
    title: 'Keeper’s helm',
    file: 'keepers-helm.stl',
    changedAt: ago(hours),
    begunAt: ago(hours + 300),
    state: 'computed',
    says: 'Four pieces, 58 h, 832 g.',
    next: null,
    thumbnail: helm!,
    ...rest,
  });
  return [
    card('helm', 0.3, {}),
    card('helm-28', 2, {
      title: 'Keeper’s helm, coarser layers',
      state: 'computing',
      says: 'Pieces: searching divisions, 41%.',
    }),
    card('mask', 26, {
      title: 'Half mask',
      file: 'half-mask.stl',
      says: 'Two pieces, 11 h 20 min, 164 g.',
      thumbnail: mask!,
      next: { chapter: 'model', asks: 'Which way is up?', path: 'model.level.up' },
    }),
    card('sheet', 27, {
      title: 'Visor as it was sculpted',
      file: 'visor-sheet.obj',
      state: 'refused',
      says: 'The surface has three large openings and no wall: it bounds no solid.',
      thumbnail: guard!,
      next: { chapter: 'model', asks: 'What becomes of its openings?', path: 'model.mend.openings' },
    }),
    card('guard', 170, {
      title: 'Shoulder guard for the second keeper, left, with the longer lower plate',
      file: 'shoulder-guard.3mf',
      state: 'not computed',
      says: 'Stopped before it was computed.',
      thumbnail: guard!,
    }),
    card('lost', 9000, {
      title: 'Storm lantern crest',
      file: 'crest.glb',
      state: 'trouble',
      says: 'The file ends before what it announces.',
      thumbnail: null,
    }),
  ];
}

/** Many of the same, for pages that must not slow down. */
export function manyCards(count: number): BuildCard[] {
  const some = someCards();
  return Array.from({ length: count }, (_none, index) => {
    const like = some[index % some.length]!;
    return { ...like, id: `many-${index}`, title: `${like.title} ${index + 1}`, changedAt: ago(index) };
  });
}

/** Eight versions: two were left when undone, one was brought back. */
export function someHistory(): HistoryEntry[] {
  const entry = (number: number, from: number | null, hours: number, says: string): HistoryEntry => ({
    number,
    from,
    madeAt: ago(hours),
    kind: from === null ? 'begun' : says.startsWith('Version') ? 'restored' : 'set',
    says,
    stands: number === 8,
  });
  return [
    entry(8, 7, 0.4, 'Contour passes: 3 to 2'),
    entry(7, 6, 0.6, 'Version 2 of yesterday again'),
    entry(6, 3, 1.1, 'Bed width: 220 mm to 180 mm'),
    entry(5, 4, 1.6, 'Infill: 10% to 15%'),
    entry(4, 3, 1.8, 'Layer height: 0.2 mm to 0.28 mm'),
    entry(3, 2, 26, 'Machines: a second one, 300 x 300 x 400 mm machine'),
    entry(2, 1, 27, 'Head circumference: 574 mm to 590 mm'),
    entry(1, null, 300, 'Begun from keepers-helm.stl'),
  ];
}

export function someState(id: string, name: string): BuildState {
  return {
    id,
    turn: 1,
    build: newBuild({ name, file: 'keepers-helm.stl', sha256: 'a'.repeat(64) }),
    version: 8,
    text: null,
    summary: null,
    drawings: {},
    computing: null,
    stale: [],
    figureTurn: 0,
    figureIs: 'none',
    trouble: null,
    canUndo: true,
    canRedo: false,
    offers: [],
  };
}

export function someHouse(): House {
  const { machines, materials, maker } = ordinaryWorkshop();
  return {
    cards: someCards(),
    workshop: { machines: [...machines], materials: [...materials], maker },
    states: {
      helm: someState('helm', 'Keeper’s helm'),
      'helm-28': someState('helm-28', 'Keeper’s helm, coarser layers'),
    },
    histories: { helm: someHistory() },
    beside: null,
  };
}
