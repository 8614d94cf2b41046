// The page of a helm with one seam held and one area kept clear, its sentences written by the book itself, its numbers invented.
import type { BuildState } from '../../src/app/api/api.ts';
import { encodeFigure, type FigureOutside } from '../../src/app/api/figure-codec.ts';
import { cross, dot, minus, unit } from '../../src/geometry/three-by-three.ts';
import type { Vec3 } from '../../src/mesh/mesh.ts';
import type { Block, BookText } from '../../src/workshop/book/book-text.ts';
import { type Build, newBuild } from '../../src/workshop/book/build-file.ts';
import { writeChapter } from '../../src/workshop/book/write-book.ts';
import { ordinaryMachine } from '../../src/workshop/facts/machines.ts';
import { ordinaryWorkshop } from '../../src/workshop/facts/workshop.ts';
import type { Piece, PiecesRecord, Seam } from '../../src/workshop/process/pieces-record.ts';
import type { WearerRecord } from '../../src/workshop/process/wearer-record.ts';
import { FIXTURE_BOOK, FIXTURE_DRAWINGS, fixtureFigure } from '../unit/app/web/fixture.ts';
import type { GivenPage } from './page-server.ts';

const SIZE_MM = [250, 300, 310] as const;

/** What faces outward of the figure's helm; dear in front, cheap behind. */
export function helmOutside(): FigureOutside {
  const positions: number[] = [];
  const price: number[] = [];
  for (const { positions: p, triangles } of fixtureFigure().parts)
    for (let t = 0; t < triangles.length; t += 3) {
      const corners = [0, 1, 2].map((k) => Array.from(p.subarray(triangles[t + k]! * 3, triangles[t + k]! * 3 + 3)));
      const [a, b, c] = corners as unknown as [Vec3, Vec3, Vec3];
      const facing = unit(cross(minus(b, a), minus(c, a)));
      // cut faces look along the wall, the inside looks in
      if (dot(facing, unit(minus(a, [0, 0, 150]))) < 0.5) continue;
      positions.push(...a, ...b, ...c);
      price.push(a[1] < 0 ? 1 : 0.25);
    }
  return {
    positions: Float32Array.from(positions),
    triangles: Uint32Array.from({ length: positions.length / 3 }, (_, v) => v),
    price: Float32Array.from(price),
  };
}

export function askedBuild(): Build {
  const usual = newBuild({ name: FIXTURE_BOOK.title, file: 'keepers-helm.stl', sha256: 'a'.repeat(64) });
  return {
    ...usual,
    machines: [usual.machines[0]!, ordinaryMachine([300, 300, 400])],
    pieces: {
      ...usual.pieces,
      asked: {
        seams: [
          { name: 'Brow', points: [{ atMm: [0, -149, 175], normal: [0, -1, 0] }], normal: [0, 0, 1], within: [] },
        ],
        clear: [
          {
            name: 'Badge',
            outline: [-20, 20, 20, -20].map((x, i) => ({ atMm: [x, -130, i < 2 ? 220 : 250], normal: [0, -1, 0] })),
          },
        ],
        machines: [],
      },
    },
  };
}

const WEARER: WearerRecord = {
  kind: 'wearer',
  version: 2,
  mesh: 'helm',
  scale: 1,
  sizeMm: [...SIZE_MM],
  volumeMm3: 1e6,
  areaMm2: 4e5,
  wallMm: 3,
  wallKept: false,
  symmetry: null,
  girth: null,
};

function recordOf(build: Build): PiecesRecord {
  const piece = (id: string, name: string): Piece => ({
    id,
    name,
    mesh: id,
    sourceTri: new Int32Array(0),
    triangles: 1000,
    closed: true,
    volumeMm3: 3e5,
    areaMm2: 1e5,
    sizeMm: [200, 200, 150],
    poses: build.machines.map(({ id: machine }) => ({
      machine,
      toLaid: [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0],
      sizeMm: [200, 200, 150],
      lies: 'level',
    })),
    mark: { atMm: [0, -149, id === 'A' ? 220 : 90], normal: [0, -1, 0] },
    asked: null,
  });
  const seam = (id: string, offsetMm: number, asked: number | null): Seam => ({
    id,
    pieces: [id[0]!, id[2]!],
    plane: { normal: [0, 0, 1], offsetMm },
    cut: 0,
    asked,
    within: [],
    bowMm: 0,
    outerMm: 860,
    costMm: 540,
    lines: [
      {
        points: Float32Array.from([0, -149, offsetMm, 60, -137, offsetMm, 125, 0, offsetMm]),
        price: Float32Array.from([1, 1]),
        hiding: Uint8Array.from([0, 0]),
      },
    ],
    places: { creaseMm: 0, frontMm: 400, sidesMm: 260, backMm: 200, aboveMm: 0, unseenMm: 0 },
    innerMm: 820,
    areaMm2: 2500,
    outlines: [],
  });
  return {
    kind: 'pieces',
    version: 3,
    pieces: [piece('A', 'crown'), piece('B', 'cheeks'), piece('C', 'neck')],
    seams: [seam('A-B', 175, 0), seam('B-C', 90, null)],
    proposal: null,
    proposals: [],
    seen: new Uint8Array(0),
    search: { planesTried: 1000, divisions: 10, cost: 900 },
  };
}

/** The chapter Pieces as the book writes it, among the made-up others. */
export function askedPage(): GivenPage {
  const build = askedBuild();
  const computed = { state: 'computed', fingerprint: 'made up', reused: false, findings: [] } as const;
  const pieces = writeChapter(
    'pieces',
    build,
    { wearer: { ...computed, record: WEARER }, pieces: { ...computed, record: recordOf(build) } },
    { findings: [], unit: 'millimetres' },
  );
  const isDrawing = ({ b }: Block): boolean => b === 'drawing';
  const text: BookText = {
    ...FIXTURE_BOOK,
    chapters: FIXTURE_BOOK.chapters.map((chapter) =>
      chapter.name === 'pieces' ? { ...pieces, blocks: pieces.blocks.filter((block) => !isDrawing(block)) } : chapter,
    ),
  };
  const state: BuildState = {
    id: 'one',
    turn: 1,
    build,
    version: 1,
    text,
    summary: null,
    drawings: FIXTURE_DRAWINGS,
    computing: null,
    stale: [],
    figureTurn: 1,
    figureIs: 'whole',
    trouble: null,
    canUndo: false,
    canRedo: false,
    offers: [],
  };
  return { state, figure: encodeFigure({ ...fixtureFigure(), outside: helmOutside() }), workshop: ordinaryWorkshop() };
}
