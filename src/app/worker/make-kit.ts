// Every file of the kit, in memory: pieces as laid, kit.3mf, build.json, plan.json, book.html, the model itself.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Finding } from '../../base/findings.ts';
import { writeStl } from '../../documents/stl/write-stl.ts';
import { writeThreemf } from '../../documents/threemf/write-threemf.ts';
import { surfaceArea, volume } from '../../mesh/measure.ts';
import { type Mesh, numTris } from '../../mesh/mesh.ts';
import type { MeshStore } from '../../mesh/mesh-store.ts';
import { surfaceCheck } from '../../mesh/topology.ts';
import { assemblySheet } from '../../workshop/book/assembly-sheet.ts';
import type { BookText, Drawings } from '../../workshop/book/book-text.ts';
import type { Build } from '../../workshop/book/build-file.ts';
import { builtPieces } from '../../workshop/book/built-pieces.ts';
import { finishSheet } from '../../workshop/book/finish-sheet.ts';
import type { BookResults } from '../../workshop/book/graph.ts';
import { type LaidPiece, laidPieces, type Plan, planOf } from '../../workshop/book/plan-record.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import { laidSplices } from '../../workshop/process/laid-splices.ts';
import { writtenPiece } from '../../workshop/process/written-piece.ts';
import { staticBookHtml } from '../web/static-book.tsx';
import { figureOf } from './figure-of.ts';
import type { ChapterNews } from './protocol.ts';

export interface Kit {
  readonly plan: Plan | null;
  readonly files: ReadonlyMap<string, Uint8Array | string>;
}

export interface KitSource {
  readonly build: Build;
  /** Bytes of the model file. */
  readonly model: Uint8Array;
  readonly results: BookResults;
  readonly text: BookText;
  readonly drawings: Drawings;
  readonly readingFindings: readonly Finding[];
  readonly chapters: readonly ChapterNews[];
  readonly webAssets: string;
}

/** Triangles shown in book.html; keeps the file small enough to send. */
const BOOK_FIGURE_TRIANGLES = 60_000;

export function makeKit(source: KitSource, work: ChapterWork): Kit {
  const { results, build } = source;
  const built = builtPieces(results);
  if (built === null || results.printing.state !== 'computed') return { plan: null, files: new Map() };
  const laid = laidPieces(built, results.printing.record.prints);
  const meshes = laid.map((piece, index) => {
    work.tick((0.4 * index) / laid.length, `laying ${piece.piece.id}`);
    return meshAsLaid(piece, work.meshes);
  });
  const timings = Object.fromEntries(source.chapters.map(({ name, seconds }) => [name, seconds]));
  const written = new Map(laid.map(({ piece }, index) => [piece.id, measured(meshes[index]!)]));
  const plan = planOf(build, results, { timings, readingFindings: source.readingFindings, written });
  const files = new Map<string, Uint8Array | string>();
  files.set('build.json', pretty(build));
  files.set(build.model.file, source.model);
  for (const [index, { piece, file }] of laid.entries()) {
    work.tick(0.4 + (0.2 * index) / laid.length, `writing ${piece.id}`);
    files.set(file, writeStl(meshes[index]!, { title: `helmwright piece ${piece.id}` }));
  }
  const splices = results.joints.state === 'computed' ? laidSplices(results.joints.record, work.meshes) : [];
  for (const { file, name, mesh } of splices) files.set(file, writeStl(mesh, { title: `helmwright ${name}` }));
  work.tick(0.6, 'writing kit.3mf');
  const items = [
    ...laid.map(({ piece }, index) => ({ name: `${piece.id} ${piece.name}`.trim(), mesh: meshes[index]! })),
    ...splices.map(({ name, mesh }) => ({ name, mesh })),
  ];
  files.set('kit.3mf', writeThreemf(items, { title: build.name }));
  work.tick(0.85, 'writing book.html');
  files.set('book.html', bookHtml(source, work));
  files.set('plan.json', pretty(plan));
  return { plan, files };
}

/** The piece in laid space in the single precision of its file, still closed. */
function meshAsLaid({ piece, print }: LaidPiece, meshes: MeshStore): Mesh {
  return writtenPiece(meshes.get(piece.mesh), print.toModel).mesh;
}

function measured(mesh: Mesh): { triangles: number; closed: boolean; volumeMm3: number; areaMm2: number } {
  return {
    triangles: numTris(mesh),
    closed: surfaceCheck(mesh).closed,
    volumeMm3: volume(mesh),
    areaMm2: surfaceArea(mesh),
  };
}

function bookHtml(source: KitSource, work: ChapterWork): string {
  const asset = (name: string): string => readFileSync(join(source.webAssets, name), 'utf8');
  return staticBookHtml({
    text: source.text,
    drawings: source.drawings,
    sheets: [assemblySheet(source.build, source.results), finishSheet(source.build, source.results)].filter(
      (sheet) => sheet !== null,
    ),
    figureBytes: figureOf(source.results, work, { triangles: BOOK_FIGURE_TRIANGLES }),
    assets: JSON.parse(asset('static-book.json')) as Parameters<typeof staticBookHtml>[0]['assets'],
  });
}

function pretty(value: unknown): string {
  return `${JSON.stringify(value, null, 2)}\n`;
}
