// One job of the engine: read the file, run the book, set the text, and when asked for, make every file of the kit.
import { done, type Outcome, type Refusal } from '../../base/findings.ts';
import { sha256OfText } from '../../base/sha256.ts';
import { type Crew, partOfWork } from '../../base/work.ts';
import { writeStl } from '../../documents/stl/write-stl.ts';
import type { SolidKernel } from '../../geometry/solid/solid.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import type { MeshStore } from '../../mesh/mesh-store.ts';
import { summaryOf } from '../../workshop/book/book-summary.ts';
import { CHAPTER_NAMES, type ChapterName, type ChapterText } from '../../workshop/book/book-text.ts';
import type { Records as ChapterRecords } from '../../workshop/book/chapter.ts';
import { type BookResults, fingerprints, runBook } from '../../workshop/book/graph.ts';
import { writeBook, writeChapter } from '../../workshop/book/write-book.ts';
import { demoModel } from '../../workshop/demo/demo.ts';
import type { ChapterWork } from '../../workshop/process/chapter-work.ts';
import { drawBook } from './draw-book.ts';
import { freshRecords, MeshGone, type Records } from './engine-shelves.ts';
import { draftFigure, figureOf } from './figure-of.ts';
import type { Kept } from './kept.ts';
import { makeKit } from './make-kit.ts';
import type { Answer, BookJob, ChapterNews, DemoJob } from './protocol.ts';
import { modelBytes, readSource } from './read-source.ts';

export interface EngineMeans {
  readonly meshes: MeshStore;
  readonly records: Records;
  readonly solid: SolidKernel;
  /** Absent where all is done in one thread. */
  readonly crew?: Crew;
  readonly webAssets: string;
  tick(chapter: string, fraction: number, doing: string): void;
}

/** What is told while a job runs. */
export interface JobNews {
  chapter(news: ChapterNews, text: ChapterText): void;
  draft(figure: Uint8Array): void;
}

/** Refuses when the file cannot be read or the bytes are not the build's; refusals of chapters are in the answer. When a mesh that a
 *  kept result names is gone from the shelf, everything is computed once more. */
export function runJob(job: BookJob, means: EngineMeans, news: JobNews): Outcome<Answer> {
  try {
    return bookOf(job, means, news);
  } catch (error) {
    if (!(error instanceof MeshGone)) throw error;
    return bookOf(job, { ...means, records: freshRecords(means.records) }, news);
  }
}

function bookOf(job: BookJob, means: EngineMeans, news: JobNews): Outcome<Answer> {
  let chapter = 'reading';
  const work: ChapterWork = {
    seed: 1,
    meshes: means.meshes,
    solid: means.solid,
    ...(means.crew === undefined ? {} : { crew: means.crew }),
    tick: (fraction, doing) => means.tick(chapter, fraction, doing ?? ''),
  };
  work.tick(0, 'reading the model file');
  let drafted = !job.draft || job.want !== 'book';
  const draft = (mesh: Mesh): void => {
    if (!drafted) news.draft(draftFigure(mesh));
    drafted = true;
  };
  const source = readSource(job, means, partOfWork(work, 0, 0.02), draft);
  if (!source.ok) return source;
  const { mesh: asRead, unit } = source.value;
  const { pieces } = fingerprints(job.build, source.value, means.solid.version);
  if (means.records.get(pieces) === undefined) draft(means.meshes.get(asRead));
  const reading = { findings: source.findings, unit };
  const chapters: ChapterNews[] = [];
  const sofar: { -readonly [Name in ChapterName]?: BookResults[Name] } = {};
  let begunAt = performance.now();
  const results = runBook(job.build, source.value, partOfWork(work, 0.02, 0.9), {
    last: job.want === 'check' ? 'wearer' : 'surface',
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
        Object.assign(sofar, { [name]: result });
        chapters.push({ name, state: result.state, fingerprint: result.fingerprint, reused, seconds });
        news.chapter(chapters.at(-1)!, writeChapter(name, job.build, sofar, reading));
      },
    },
  });
  chapter = 'book';
  const text = writeBook(job.build, results, reading);
  const summary = summaryOf(results, text);
  const pictures = { source: asRead, kept: keptIn(means.records) };
  const drawings = job.want === 'check' ? {} : drawBook(results, partOfWork(work, 0.9, 0.94), pictures);
  const figure =
    job.want === 'check'
      ? new Uint8Array()
      : figureOf(results, partOfWork(work, 0.94, 0.96), {
          ...pictures,
          hidden: job.build.pieces.weights.hidden,
          clear: job.build.pieces.asked.clear,
        });
  const answer = { text, summary, drawings, figure, chapters, refusal: firstRefusal(results) };
  if (job.want !== 'kit') return done({ ...answer, plan: null, files: new Map() });
  const model = modelBytes(job);
  if (!model.ok) return model;
  const kit = makeKit(
    {
      build: job.build,
      model: model.value,
      results,
      text,
      drawings,
      readingFindings: source.findings,
      chapters,
      webAssets: means.webAssets,
    },
    partOfWork(work, 0.96, 1),
  );
  return done({ ...answer, plan: kit.plan, files: kit.files });
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

function keptIn(records: Records): Kept {
  return <T>(key: string, make: () => T): T => {
    const kept = records.get<T>(key);
    if (kept?.ok) return kept.value;
    const made = make();
    records.put(key, done(made));
    return made;
  };
}

function firstRefusal(results: BookResults): Refusal | null {
  for (const name of CHAPTER_NAMES) {
    const result = results[name];
    if (result.state === 'refused') return result.refusal;
  }
  return null;
}
