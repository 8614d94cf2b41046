// What the main thread and the engine thread say to each other.
import type { Refusal } from '../../base/findings.ts';
import type { BookSummary } from '../../workshop/book/book-summary.ts';
import type { BookText, ChapterName, ChapterText, Drawings } from '../../workshop/book/book-text.ts';
import type { Build } from '../../workshop/book/build-file.ts';
import type { Plan } from '../../workshop/book/plan-record.ts';
import type { DemoShape } from '../../workshop/demo/demo.ts';

/** Data the engine thread starts with. */
export interface EngineStart {
  /** Folder for results and meshes between runs; null keeps them in memory. */
  readonly cacheFolder: string | null;
  /** Most bytes of results and meshes in that folder; the ones not asked for the longest go first. */
  readonly cacheBytes: number;
  /** Int32 x 4, shared: see the indices below. */
  readonly control: SharedArrayBuffer;
  readonly webAssets: string;
}

/** 1 asks the engine to stop at its next tick. */
export const CONTROL_CANCEL = 0;
/** 1 while a call into the solid kernel runs. */
export const CONTROL_IN_KERNEL = 1;
/** Raised by every tick and every kernel call: a sign of life. */
export const CONTROL_BEATS = 2;

export type Job = BookJob | DemoJob | ReadJob;

/** Reads the model and keeps its mesh, nothing more: whether a file can be read is known before a build is begun with it. */
export interface ReadJob {
  readonly id: number;
  readonly want: 'read';
  readonly build: Build;
  readonly model: Uint8Array | string;
}

/** Makes one of the demo's own shapes as the bytes of an STL file. */
export interface DemoJob {
  readonly id: number;
  readonly want: 'demo';
  readonly shape: DemoShape;
  readonly triangles: number;
}

export interface BookJob {
  readonly id: number;
  readonly build: Build;
  /** Bytes of the model file, or its path: a large file is then read where it does not block. */
  readonly model: Uint8Array | string;
  /** 'check': Model and Wearer only. 'book': text, drawings, figure. 'kit': the same and every file of the kit. */
  readonly want: 'check' | 'book' | 'kit';
  /** A figure of the model as it came is wanted as soon as it is read. */
  readonly draft: boolean;
}

export interface ChapterNews {
  readonly name: ChapterName;
  readonly state: 'computed' | 'refused' | 'waiting';
  readonly fingerprint: string;
  readonly reused: boolean;
  readonly seconds: number;
}

/** What a job comes to. */
export interface Answer {
  readonly text: BookText;
  readonly summary: BookSummary;
  readonly drawings: Drawings;
  /** Encoded figure, see api/figure-codec.ts; empty for 'check'. */
  readonly figure: Uint8Array;
  readonly plan: Plan | null;
  readonly chapters: readonly ChapterNews[];
  /** The refusal of the first chapter that was refused, if any. */
  readonly refusal: Refusal | null;
  /** Files of the kit by their path in it; empty unless asked for. */
  readonly files: ReadonlyMap<string, Uint8Array | string>;
}

export type Report =
  | {
      readonly type: 'progress';
      readonly job: number;
      readonly chapter: string;
      readonly fraction: number;
      readonly doing: string;
    }
  | { readonly type: 'chapter'; readonly job: number; readonly news: ChapterNews; readonly text: ChapterText }
  /** The model as it came, thinned so that it is there at once. */
  | { readonly type: 'draft'; readonly job: number; readonly figure: Uint8Array }
  | { readonly type: 'answer'; readonly job: number; readonly answer: Answer }
  | { readonly type: 'made'; readonly job: number; readonly model: Uint8Array }
  | { readonly type: 'read'; readonly job: number }
  | { readonly type: 'refused'; readonly job: number; readonly refusal: Refusal }
  | { readonly type: 'cancelled'; readonly job: number }
  | { readonly type: 'bug'; readonly job: number; readonly message: string };
