// What the maker still has to decide: guesses and refusals as questions, each with the control in the text that answers it.
import type { FindingCode, RefusalCode } from '../../base/codes.ts';
import type { Finding } from '../../base/findings.ts';
import type { ChapterName, Decision } from './book-text.ts';
import type { Build } from './build-file.ts';
import type { ChapterResult } from './graph.ts';

/** A question and the path of its control; null where nothing is open, because the maker has set it already. */
interface Question {
  readonly asks: string;
  readonly path: string;
}
type Asked = (build: Build, about: About) => Question | null;
interface About {
  /** Limit that the finding names, if it is one with a limit. */
  readonly limit: number | null;
  /** Middle wall at worn size, mm, where it is known. */
  readonly wallMm: number | null;
  /** Path that the refusal or the finding names. */
  readonly path: string;
}

/** Open questions of one chapter, refusals first. A caution that leaves nothing to choose asks nothing.
 *  `read`: what reading the file found; it is asked about in the chapter Model. */
export function decisionsOf(
  build: Build,
  result: ChapterResult,
  { name, read }: { readonly name: ChapterName; readonly read: readonly Finding[] },
): readonly Decision[] {
  const questions: Question[] = [];
  const ask = (question: Question | null | undefined): void => {
    if (question != null && !questions.some(({ path }) => path === question.path)) questions.push(question);
  };
  const computed = result.state === 'computed' ? result : null;
  const wallMm = computed?.record.kind === 'wearer' ? computed.record.wallMm : null;
  if (result.state === 'refused') {
    const { code, where } = result.refusal;
    ask(REFUSED[name][code]?.(build, { limit: null, wallMm, path: where?.path ?? '' }));
  }
  for (const { code, limit, where } of [...read, ...(computed?.findings ?? [])])
    ask(FOUND[code]?.(build, { limit, wallMm, path: where.path }));
  return questions.map(({ asks, path }) => ({ chapter: CHAPTER_OF[path.split('.')[0]!] ?? name, asks, path }));
}

/** Where the controls of a path stand, when that is another chapter than the one that asks. */
const CHAPTER_OF: Readonly<Record<string, ChapterName>> = {
  model: 'model',
  wearer: 'wearer',
  pieces: 'pieces',
  joints: 'joints',
};

const UNIT = 'In which unit was the file written?';
const unit: Asked = (build) => (build.model.unit === null ? { asks: UNIT, path: 'model.unit' } : null);

const FOUND: Readonly<Partial<Record<FindingCode, Asked>>> = {
  UNIT_GUESSED: unit,
  UNIT_DOUBTFUL: unit,
  UP_UNSURE: () => ({ asks: 'Which way is up?', path: 'model.level.up' }),
  FRONT_UNSURE: () => ({ asks: 'Which way is front?', path: 'model.level.front' }),
  // A size that was set is meant; what may be wrong is a unit that nobody named.
  SCALE_ODD: unit,
  // Thin rims are a caution; a wall that is thin throughout wants an answer, until one is given.
  WALL_THIN: (build, { limit, wallMm }) =>
    limit !== null && wallMm !== null && wallMm < limit && build.wearer.wallMm === null
      ? { asks: 'How thick is the wall to be?', path: 'wearer.wallMm' }
      : null,
};

const REBUILD: Question = { asks: 'Is the surface to be rebuilt?', path: 'model.mend.rebuild' };
const CELLS: Question = {
  asks: 'With how many cells is the surface to be rebuilt?',
  path: 'model.mend.rebuildCells',
};
const SHEET_WALL: Question = { asks: 'How thick is the wall of the sheet to be?', path: 'model.mend.sheetWallMm' };
const sheet: Asked = ({ model: { mend } }) => {
  if (mend.openings === 'wall') return SHEET_WALL;
  return { asks: 'Does the sheet get a wall, or do its openings get lids?', path: 'model.mend.openings' };
};
const unsound: Asked = ({ model: { mend } }) => {
  if (mend.openings === 'wall')
    return { asks: 'Do the openings get lids instead of a wall?', path: 'model.mend.openings' };
  return mend.rebuild ? CELLS : REBUILD;
};
const rebuild: Asked = ({ model: { mend } }) => (mend.rebuild ? CELLS : REBUILD);
const level: Asked = ({ model }) =>
  model.level.levelPoints
    ? { asks: 'Which three places lie level?', path: 'model.level.levelPoints' }
    : model.level.front
      ? { asks: 'Which way is front?', path: 'model.level.front' }
      : null;

const REFUSED: Readonly<Record<ChapterName, Readonly<Partial<Record<RefusalCode, Asked>>>>> = {
  model: {
    MESH_SHEET: sheet,
    MESH_OPEN: unsound,
    MESH_UNSOUND: unsound,
    SOLID_FAILED: unsound,
    REBUILD_TOO_FINE: ({ model: { mend } }) => {
      if (mend.rebuild) return CELLS;
      return mend.openings === 'wall' ? SHEET_WALL : null;
    },
    LEVEL_CONTRADICTS: level,
  },
  wearer: { HEAD_NEEDS_HOLLOW: () => ({ asks: 'How is the size given, if not by a head?', path: 'wearer.size' }) },
  pieces: {
    PIECES_BED_TOO_SMALL: ({ pieces }) =>
      pieces.marginMm > USUAL_MARGIN_MM
        ? { asks: 'How much of the bed has to stay clear?', path: 'pieces.marginMm' }
        : { asks: 'Which machine is large enough?', path: 'machines.0.bedMm.0' },
    PIECES_TOO_MANY: () => ({
      asks: 'Is there a larger machine, or may it be more pieces?',
      path: 'pieces.mostPieces',
    }),
    MESH_OPEN: rebuild,
    SOLID_FAILED: rebuild,
    PIECES_SEAM_UNMET: (_build, { path }) => ({
      asks: 'Is the seam to move, or to go?',
      path: path === '' ? 'pieces.asked.seams' : path,
    }),
    PIECES_CLEAR_UNMET: (_build, { path }) => ({
      asks: 'May a seam cross the area?',
      path: path === '' ? 'pieces.asked.clear' : `${path}.name`,
    }),
    PIECES_MACHINE_UNMET: ({ pieces }) => ({
      asks: 'Which machine prints that piece?',
      path: pieces.asked.machines.length > 0 ? 'pieces.asked.machines' : 'machines.0.bedMm.0',
    }),
    PIECES_SLIVER: () => ({ asks: 'How narrow may a piece be?', path: 'pieces.leastSectionMm' }),
  },
  joints: {
    JOINTS_PARTED: () => ({
      asks: 'Is a seam joined another way, or do pieces stay without keys?',
      path: 'joints.keys',
    }),
  },
  assembly: {},
  surface: {},
  printing: {},
  beds: {
    BEDS_NO_HANDS: () => ({ asks: 'When is somebody awake to change beds?', path: 'beds.wakingToH' }),
  },
};

const USUAL_MARGIN_MM = 5;
