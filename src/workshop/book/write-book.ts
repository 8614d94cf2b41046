// Composes the book's text from the build and what the chapters found.
import type { Finding, Refusal } from '../../base/findings.ts';
import { invariant } from '../../base/invariant.ts';
import type { PiecesRecord } from '../process/pieces-record.ts';
import type { WearerRecord } from '../process/wearer-record.ts';
import { byNames } from './asked-words.ts';
import { assemblyCautions } from './assembly-cautions.ts';
import { type Block, type BookText, CHAPTER_NAMES, type ChapterName, type ChapterText } from './book-text.ts';
import type { Build } from './build-file.ts';
import { decisionsOf } from './decisions.ts';
import type { BookResults, ChapterResult } from './graph.ts';
import { countWord, plusMinusHours, quantity, say, term } from './spans.ts';
import type { SeamsWorn } from './write-asked-joints.ts';
import { writeAssembly } from './write-assembly.ts';
import { writeBeds } from './write-beds.ts';
import { writeJoints } from './write-joints.ts';
import { writeModel, writeRefusedModel } from './write-model.ts';
import { writePieces } from './write-pieces.ts';
import { PRINTING_CAUTION, writePrinting } from './write-printing.ts';
import { surfaceCautions, writeSurface } from './write-surface.ts';
import { WEARER_CAUTION, writeWearer } from './write-wearer.ts';

/** What reading the file said, before the first chapter. */
export interface Reading {
  readonly findings: readonly Finding[];
  /** Unit the file was taken in, as a word: "millimetres". */
  readonly unit: string;
}

/** Text of the whole book. */
export function writeBook(build: Build, results: BookResults, reading: Reading): BookText {
  return {
    kind: 'book-text',
    version: 1,
    title: build.name,
    standfirst: standfirst(build, results),
    chapters: CHAPTER_NAMES.map((name) => writeChapter(name, build, results, reading)),
  };
}

/** Text of one chapter, which may be set as soon as its own result and those before it are known. */
export function writeChapter(
  name: ChapterName,
  build: Build,
  results: Partial<BookResults>,
  reading: Reading,
): ChapterText {
  const result = results[name];
  invariant(result !== undefined, `the result of ${name} is known when its text is set`);
  const [title, asks] = TITLES[name];
  const findings = result.state === 'computed' ? result.findings : [];
  const read = name === 'model' ? reading.findings : [];
  return {
    name,
    title,
    asks,
    state: result.state,
    fingerprint: result.fingerprint,
    decisions: decisionsOf(build, result, { name, read }),
    blocks: [...troubleOf(build, result), ...blocksOf(name, build, results, reading)],
    margin: [...cautionsOf(name, build, results), ...[...read, ...findings].map((one) => findingBlock(build, one))],
  };
}

function blocksOf(name: ChapterName, build: Build, results: Partial<BookResults>, { unit }: Reading): readonly Block[] {
  const pieces = recordOf(results.pieces);
  switch (name) {
    case 'model': {
      const model = recordOf(results.model);
      return model === null ? writeRefusedModel(build, unit) : writeModel(build, model, unit);
    }
    case 'wearer':
      return writeWearer(build, recordOf(results.wearer));
    case 'pieces':
      return writePieces(build, pieces, recordOf(results.wearer));
    case 'joints':
      return writeJoints(build, recordOf(results.joints), seamsWorn(pieces, recordOf(results.wearer)));
    case 'printing':
      return writePrinting(build, pieces, recordOf(results.printing), recordOf(results.wearer)?.scale ?? null);
    case 'beds':
      return writeBeds(build, recordOf(results.beds));
    case 'assembly':
      return writeAssembly(build, pieces, recordOf(results.assembly));
    case 'surface':
      return writeSurface(build, pieces, recordOf(results.surface));
  }
}

function seamsWorn(pieces: PiecesRecord | null, wearer: WearerRecord | null): SeamsWorn | null {
  return pieces === null || wearer === null ? null : { seams: pieces.seams, scale: wearer.scale };
}

function cautionsOf(name: ChapterName, build: Build, results: Partial<BookResults>): readonly Block[] {
  switch (name) {
    case 'wearer':
      return [WEARER_CAUTION];
    case 'printing':
      return [PRINTING_CAUTION];
    case 'assembly':
      return assemblyCautions(build, recordOf(results.assembly));
    case 'surface':
      return surfaceCautions(recordOf(results.surface));
    case 'model':
    case 'pieces':
    case 'joints':
    case 'beds':
      return [];
  }
}

const TITLES: Readonly<Record<ChapterName, readonly [string, string]>> = {
  model: ['Model', 'What did we get, is it sound, which way is up?'],
  wearer: ['Wearer', 'How large is it worn, and which head goes in?'],
  pieces: ['Pieces', 'Where are the seams, and does every piece fit its machine?'],
  joints: ['Joints', 'How does each piece find its place, and how true does it sit?'],
  assembly: ['Assembly', 'In which order, with how much glue, held how?'],
  surface: ['Surface', 'Where will layers and seams show, and what does it take until they do not?'],
  beds: ['Beds', 'Which pieces lie together, on which machine, and when is all printed?'],
  printing: ['Printing', 'How does each piece lie, how long does it take, how much material?'],
};

function troubleOf(build: Build, result: ChapterResult): readonly Block[] {
  if (result.state === 'refused') return [refusalBlock(build, result.refusal)];
  if (result.state === 'waiting') return [say('This chapter waits for ', term(TITLES[result.on][0]), '.')];
  return [];
}

function standfirst(build: Build, results: BookResults): readonly Block[] {
  const wearer = recordOf(results.wearer);
  const pieces = recordOf(results.pieces);
  const printing = recordOf(results.printing);
  if (wearer === null || pieces === null || printing === null)
    return [say('Something stands in the way of this build; the chapters below say what, and what to try.')];
  const machines = new Set(printing.prints.map((print) => print.machine)).size;
  const n = pieces.pieces.length;
  return [
    say(
      term(build.name),
      ' stands ',
      quantity(wearer.sizeMm[2], 'mm'),
      ' high. It prints in ',
      n === 1 ? 'one piece' : `${countWord(n)} pieces`,
      machines === 1 ? ' on one machine, ' : ` on ${countWord(machines)} machines, `,
      quantity(printing.totals.printS, 's'),
      ' in all, give or take ',
      plusMinusHours(printing.totals.plusMinusS),
      ', from ',
      quantity(printing.totals.filamentG + printing.totals.supportG, 'g'),
      ` of ${build.material.name}, support included.`,
    ),
  ];
}

function recordOf<Result extends ChapterResult>(
  result: Result | undefined,
): Extract<Result, { state: 'computed' }>['record'] | null {
  return result?.state === 'computed' ? (result as Extract<Result, { state: 'computed' }>).record : null;
}

function findingBlock({ pieces }: Build, finding: Finding): Block {
  return { b: 'finding', finding: { ...finding, say: byNames(finding.say, pieces.asked) } };
}

function refusalBlock({ pieces }: Build, { code, where, ...told }: Refusal): Block {
  const why = byNames(told.why, pieces.asked);
  const tryThis = byNames(told.tryThis, pieces.asked);
  return where?.atMm === undefined ? { b: 'refusal', code, why, tryThis } : { b: 'refusal', code, why, tryThis, where };
}
