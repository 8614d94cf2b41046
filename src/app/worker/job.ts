// One job of the engine: read the file, run the book, set the text, and when asked for, make every file of the kit.
import { createHash } from 'node:crypto';
import { done, type Outcome, type Refusal } from '../../base/findings.ts';
import { sha256OfText } from '../../base/sha256.ts';
import { partOfWork } from '../../base/work.ts';
import { UNIT_WORDS } from '../../documents/model-unit.ts';
import { readModel } from '../../documents/read-model.ts';
import { writeStl } from '../../documents/stl/write-stl.ts';
import type { SolidKernel } from '../../geometry/solid/solid.ts';
import type { MeshStore } from '../../mesh/mesh-store.ts';
import { CHAPTER_NAMES, type ChapterName, type Drawings } from '../../workshop/book/book-text.ts';
import type { Records as ChapterRecords } from '../../workshop/book/chapter.ts';
import { type BookResults, runBook } from '../../workshop/book/graph.ts';
import { writeBook } from '../../workshop/book/write-book.ts';
import { demoModel } from '../../workshop/demo/demo.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import { drawBook } from './draw-book.ts';
import type { Records } from './engine-shelves.ts';
import { figureOf } from './figure-of.ts';
import { type Kit, makeKit } from './make-kit.ts';
import type { Answer, BookJob, ChapterNews, DemoJob } from './protocol.ts';

export interface EngineMeans {
  readonly meshes: MeshStore;
  readonly records: Records;
  readonly solid: SolidKernel;
  readonly webAssets: string;
  tick(chapter: string, fraction: number, doing: string): void;
}

/** Refuses when the file cannot be read or the bytes are not the build's; refusals of chapters are in the answer. */
export function runJob(job: BookJob, means: EngineMeans, onChapter: (news: ChapterNews) => void): Outcome<Answer> {
  let chapter = 'reading';
  const work: ChapterWork = {
    seed: 1,
    meshes: means.meshes,
    solid: means.solid,
    tick: (fraction, doing) => means.tick(chapter, fraction, doing ?? ''),
  };
  work.tick(0, 'reading the model file');
  const source = readSource(job, means, partOfWork(work, 0, 0.02));
  if (!source.ok) return source;
  const chapters: ChapterNews[] = [];
  let begunAt = performance.now();
  const results = runBook(job.build, source.value, partOfWork(work, 0.02, 0.9), {
    last: job.want === 'check' ? 'wearer' : 'printing',
    results: {
      get: (key) => means.records.get<ChapterRecords[ChapterName]>(key),
      put: (key, outcome) => means.records.put(key, outcome),
    },
    hooks: {
      begun: (name) => {
        chapter = name;
        begunAt = performance.now();
      },
      known: (name, result) => {
        const reused = result.state === 'waiting' || result.reused;
        const seconds = reused ? 0 : (performance.now() - begunAt) / 1000;
        chapters.push({ name, state: result.state, fingerprint: result.fingerprint, reused, seconds });
        onChapter(chapters.at(-1)!);
      },
    },
  });
  chapter = 'book';
  const text = writeBook(job.build, results, { findings: source.findings, unit: source.value.unit });
  const drawings = job.want === 'check' ? {} : drawn(results, source.value.mesh, means, partOfWork(work, 0.9, 0.94));
  const figure =
    job.want === 'check' ? new Uint8Array() : figured(results, source.value.mesh, means, partOfWork(work, 0.94, 0.96));
  const kit: Kit =
    job.want === 'kit'
      ? makeKit(
          { job, results, text, drawings, readingFindings: source.findings, chapters, webAssets: means.webAssets },
          partOfWork(work, 0.96, 1),
        )
      : { plan: null, files: new Map() };
  return done({ text, drawings, figure, plan: kit.plan, chapters, refusal: firstRefusal(results), files: kit.files });
}

/** The bytes of a demo shape as a binary STL file; kept, since it is the same every time. */
export function makeDemo(job: DemoJob, means: EngineMeans): Uint8Array {
  const key = sha256OfText(`demo 2 ${job.shape} ${job.triangles}`);
  const kept = means.records.get<Uint8Array>(key);
  if (kept?.ok) return kept.value;
  const work = {
    seed: 1,
    tick: (fraction: number, doing?: string) => means.tick('demo', fraction, doing ?? 'shaping the demo'),
  };
  const bytes = writeStl(demoModel(job.shape, { triangles: job.triangles }, work), {
    title: `helmwright demo ${job.shape}`,
  });
  means.records.put(key, done(bytes));
  return bytes;
}

interface SourceRecord {
  readonly mesh: string;
  readonly unit: string;
}

/** The mesh of the file, welded, in file space; kept by the hash of bytes and unit. */
function readSource(job: BookJob, means: EngineMeans, work: ChapterWork): Outcome<SourceRecord> {
  const bytesHash = createHash('sha256').update(job.model).digest('hex');
  const key = sha256OfText(`read 3 ${bytesHash} ${job.build.model.unit ?? 'unit of the file'}`);
  const kept = means.records.get<SourceRecord>(key);
  if (kept !== undefined) return kept;
  const { unit } = job.build.model;
  const read = readModel(job.model, unit === null ? {} : { unit }, work);
  const outcome: Outcome<SourceRecord> = read.ok
    ? done({ mesh: means.meshes.put(read.value.mesh), unit: UNIT_WORDS[read.value.unit] }, read.findings)
    : read;
  means.records.put(key, outcome);
  return outcome;
}

function drawn(results: BookResults, asRead: string, means: EngineMeans, work: ChapterWork): Drawings {
  const key = sha256OfText(`drawings 2 ${asRead} ${pictureKey(results)}`);
  const kept = means.records.get<Drawings>(key);
  if (kept?.ok) return kept.value;
  const drawings = drawBook(results, work, asRead);
  means.records.put(key, done(drawings));
  return drawings;
}

function figured(results: BookResults, asRead: string, means: EngineMeans, work: ChapterWork): Uint8Array {
  const key = sha256OfText(`figure 2 ${asRead} ${pictureKey(results)}`);
  const kept = means.records.get<Uint8Array>(key);
  if (kept?.ok) return kept.value;
  const figure = figureOf(results, work, undefined, asRead);
  means.records.put(key, done(figure));
  return figure;
}

/** What a picture of the build depends on. */
function pictureKey(results: BookResults): string {
  return CHAPTER_NAMES.map((name) => `${results[name].state} ${results[name].fingerprint}`).join(' ');
}

function firstRefusal(results: BookResults): Refusal | null {
  for (const name of CHAPTER_NAMES) {
    const result = results[name];
    if (result.state === 'refused') return result.refusal;
  }
  return null;
}
