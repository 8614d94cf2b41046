// A chapter as the graph sees it: a pure function with declared needs.
import type { Outcome } from '../../base/findings.ts';
import type { AssemblyRecord } from '../process/assembly-record.ts';
import type { BedsRecord } from '../process/beds-record.ts';
import type { ChapterWork } from '../process/chapter-work.ts';
import type { JointsRecord } from '../process/joints-record.ts';
import type { ModelRecord } from '../process/model-record.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { PrintingRecord } from '../process/printing-record.ts';
import type { SurfaceRecord } from '../process/surface-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import type { ChapterName } from './book-text.ts';
import type { Build } from './build-file.ts';

export interface Records {
  readonly model: ModelRecord;
  readonly wearer: WearerRecord;
  readonly pieces: PiecesRecord;
  readonly joints: JointsRecord;
  readonly printing: PrintingRecord;
  readonly beds: BedsRecord;
  readonly assembly: AssemblyRecord;
  readonly surface: SurfaceRecord;
}

/** What stands outside the build file but belongs to the model: the mesh its file was read to. */
export interface Source {
  /** Id of the welded mesh in file space, mm. */
  readonly mesh: string;
}

export interface Chapter<Name extends ChapterName, Needs extends ChapterName, Settings> {
  readonly name: Name;
  readonly needs: readonly Needs[];
  /** Raised whenever the same settings would give another result. */
  readonly revision: number;
  /** Only what the chapter reads: anything else would recompute it for nothing. */
  settingsOf(build: Build, source: Source): Settings;
  compute(inputs: Pick<Records, Needs>, settings: Settings, work: ChapterWork): Outcome<Records[Name]>;
}

export function defineChapter<Name extends ChapterName, Needs extends ChapterName, Settings>(
  chapter: Chapter<Name, Needs, Settings>,
): Chapter<Name, Needs, Settings> {
  return Object.freeze(chapter);
}
