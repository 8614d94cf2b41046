// One chapter of two books in two columns: rows that say the same stand at one height, what differs has a rule of pencil beside it.
import type { Block, ChapterText } from '../../workshop/book/book-text.ts';
import type { Beside } from '../api/beside.ts';
import { type Pair, pairBlocks } from './beside-pairs.ts';
import { Blocks } from './block-view.tsx';
import { type Reader, ReaderContext } from './reader.ts';
import type { SideName } from './use-beside.ts';

const SIDES: readonly SideName[] = ['left', 'right'];

export interface ColumnsProps {
  readonly title: string;
  readonly beside: Beside;
  readonly readers: Readonly<Record<SideName, Reader>>;
  readonly left: readonly Block[];
  readonly right: readonly Block[];
  /** Said in place of a side that has nothing here. */
  readonly absent: Readonly<Record<SideName, string | null>>;
  readonly look?: 'text' | 'notes';
}

export function BesideChapter(props: {
  readonly number: number;
  readonly beside: Beside;
  readonly readers: Readonly<Record<SideName, Reader>>;
  readonly left: ChapterText | null;
  readonly right: ChapterText | null;
}) {
  const { number, beside, readers, left, right } = props;
  const chapter = (left ?? right)!;
  const absent = { left: absentWords(left), right: absentWords(right) };
  const notes = (left?.margin.length ?? 0) + (right?.margin.length ?? 0) > 0;
  return (
    <section className="beside-chapter" id={chapter.name} aria-labelledby={`${chapter.name}-title`}>
      <header className="beside-head">
        <h2 id={`${chapter.name}-title`}>
          <span className="beside-number" aria-hidden="true">
            {number}
          </span>
          {chapter.title}
        </h2>
        <p className="asks">{chapter.asks}</p>
      </header>
      <Columns
        title={chapter.title}
        left={left?.blocks ?? []}
        right={right?.blocks ?? []}
        {...{ beside, readers, absent }}
      />
      {notes && (
        <Columns
          title={`Notes on ${chapter.title}`}
          left={left?.margin ?? []}
          right={right?.margin ?? []}
          absent={{ left: null, right: null }}
          look="notes"
          {...{ beside, readers }}
        />
      )}
    </section>
  );
}

export function Columns({ title, beside, readers, left, right, absent, look = 'text' }: ColumnsProps) {
  const pairs = pairBlocks(
    { blocks: left, drawings: beside.left.drawings },
    { blocks: right, drawings: beside.right.drawings },
  );
  return (
    <div
      className={look === 'notes' ? 'beside-columns beside-notes' : 'beside-columns'}
      style={{ '--rows': Math.max(1, pairs.length) } as React.CSSProperties}
    >
      {SIDES.map((side) => (
        <section
          key={side}
          className={`beside-column beside-${side}`}
          aria-label={`${title}: ${beside[side].name} (${side})`}
        >
          <p className="beside-name" aria-hidden="true">
            {beside[side].name}
          </p>
          <ReaderContext value={readers[side]}>
            {absent[side] !== null && <p className="quiet">{absent[side]}</p>}
            {absent[side] === null &&
              pairs.map((pair, index) => (
                <Cell key={pair.key} row={index + 1} pair={pair} side={side} beside={beside} title={title} />
              ))}
          </ReaderContext>
        </section>
      ))}
    </div>
  );
}

function Cell(props: {
  readonly row: number;
  readonly pair: Pair;
  readonly side: SideName;
  readonly beside: Beside;
  readonly title: string;
}) {
  const { row, pair, side, beside, title } = props;
  const blocks = pair[side];
  const drawn = blocks?.[0]?.b === 'drawing' ? `${title} ${row}` : undefined;
  return (
    <div
      className={pair.differs ? 'beside-cell beside-differs' : 'beside-cell'}
      style={{ gridRow: row }}
      data-drawn={drawn}
    >
      {pair.differs && <span className="unseen">{blocks === null ? 'Only in the other book.' : 'Differs: '}</span>}
      {blocks !== null && <Blocks blocks={blocks} drawings={beside[side].drawings} />}
      {blocks === null && (
        <p className="beside-none" aria-hidden="true">
          –
        </p>
      )}
    </div>
  );
}

function absentWords(chapter: ChapterText | null): string | null {
  return chapter === null ? 'This chapter is not computed yet.' : null;
}
