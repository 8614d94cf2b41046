// Sets the blocks of two chapters side by side: what says the same of both stands in one row, what only one has stands alone.
import type { Block, ChapterName, ChapterText, Drawings } from '../../workshop/book/book-text.ts';
import { CHAPTER_NAMES } from '../../workshop/book/book-text.ts';
import { blockKeys, blockSkeleton, isPieceDrawing } from './block-keys.ts';

export interface Page {
  readonly blocks: readonly Block[];
  readonly drawings: Drawings;
}

/** One row. Several blocks of one side belong together: a sheet of drawings of single pieces. */
export interface Pair {
  /** What the row says but for its numbers, with a count where several say the same: a control keeps what is being typed while rows come and go. */
  readonly key: string;
  readonly left: readonly Block[] | null;
  readonly right: readonly Block[] | null;
  readonly differs: boolean;
}

export function pairBlocks(left: Page, right: Page): readonly Pair[] {
  const [lefts, rights] = [unitsOf(left), unitsOf(right)];
  const keyOf = blockKeys();
  // What reads the same but for its numbers first; then, between those, what is of the same kind.
  return matched(lefts, rights, ([first]) => blockSkeleton(first!)).flatMap((stretch): readonly Pair[] => {
    if ('pair' in stretch) return [{ key: keyOf(stretch.pair[0][0]!), ...pairOf(...stretch.pair, { left, right }) }];
    return matched(stretch.lefts, stretch.rights, ([first]) => first!.b).flatMap((inner) => {
      if ('pair' in inner) return [{ key: keyOf(inner.pair[0][0]!), ...pairOf(...inner.pair, { left, right }) }];
      return [
        ...inner.lefts.map((unit): Pair => ({ key: keyOf(unit[0]!), left: unit, right: null, differs: true })),
        ...inner.rights.map((unit): Pair => ({ key: keyOf(unit[0]!), left: null, right: unit, differs: true })),
      ];
    });
  });
}

/** Chapters that either book has, in the order of the book. */
export function chapterPairs(
  left: readonly ChapterText[],
  right: readonly ChapterText[],
): readonly { readonly name: ChapterName; readonly left: ChapterText | null; readonly right: ChapterText | null }[] {
  const of = (chapters: readonly ChapterText[], name: ChapterName): ChapterText | null =>
    chapters.find((chapter) => chapter.name === name) ?? null;
  return CHAPTER_NAMES.map((name) => ({ name, left: of(left, name), right: of(right, name) })).filter(
    (pair) => pair.left !== null || pair.right !== null,
  );
}

type Unit = readonly Block[];
type Stretch =
  | { readonly pair: readonly [Unit, Unit] }
  | { readonly lefts: readonly Unit[]; readonly rights: readonly Unit[] };

function unitsOf({ blocks, drawings }: Page): readonly Unit[] {
  const units: Block[][] = [];
  for (const block of blocks) {
    if (block.b === 'drawing' && drawings[block.name] === undefined) continue;
    const last = units.at(-1);
    if (last !== undefined && isPieceDrawing(block) && isPieceDrawing(last[0]!)) last.push(block);
    else units.push([block]);
  }
  return units;
}

/** The longest row of units that are alike on both sides, and what lies between. */
function matched(lefts: readonly Unit[], rights: readonly Unit[], keyOf: (unit: Unit) => string): readonly Stretch[] {
  const [keysL, keysR] = [lefts.map(keyOf), rights.map(keyOf)];
  const width = rights.length + 1;
  const longest = new Uint32Array((lefts.length + 1) * width);
  for (let i = lefts.length - 1; i >= 0; i--)
    for (let j = rights.length - 1; j >= 0; j--)
      longest[i * width + j] =
        keysL[i] === keysR[j]
          ? longest[(i + 1) * width + j + 1]! + 1
          : Math.max(longest[(i + 1) * width + j]!, longest[i * width + j + 1]!);
  const out: Stretch[] = [];
  let loose: { lefts: Unit[]; rights: Unit[] } = { lefts: [], rights: [] };
  const flush = (): void => {
    if (loose.lefts.length + loose.rights.length > 0) out.push(loose);
    loose = { lefts: [], rights: [] };
  };
  let [i, j] = [0, 0];
  while (i < lefts.length || j < rights.length) {
    if (i < lefts.length && j < rights.length && keysL[i] === keysR[j]) {
      flush();
      out.push({ pair: [lefts[i++]!, rights[j++]!] });
    } else if (j >= rights.length || (i < lefts.length && longest[(i + 1) * width + j]! >= longest[i * width + j + 1]!))
      loose.lefts.push(lefts[i++]!);
    else loose.rights.push(rights[j++]!);
  }
  flush();
  return out;
}

function pairOf(one: Unit, other: Unit, pages: { readonly left: Page; readonly right: Page }): Omit<Pair, 'key'> {
  const differs =
    saidBy(one) !== saidBy(other) ||
    one.some((block) => block.b === 'drawing' && pages.left.drawings[block.name] !== pages.right.drawings[block.name]);
  return { left: one, right: other, differs };
}

/** What a unit says; of a control what is set, not what else could be. */
function saidBy(unit: Unit): string {
  const aside = new Set(['options', 'follows', 'usual', 'min', 'max', 'step']);
  return JSON.stringify(unit, (key, value: unknown) => (aside.has(key) ? undefined : value));
}
