// Two books side by side: the differences in words and tables first, then chapter by chapter in two columns.
import { useEffect, useMemo, useRef, useState } from 'react';
import type { Comparison } from '../../workshop/book/compare-books.ts';
import type { BuildCard } from '../api/api.ts';
import type { Beside, BesideSide } from '../api/beside.ts';
import { BesideChapter, Columns } from './beside-chapter.tsx';
import { BesideChoice } from './beside-choice.tsx';
import { chapterPairs } from './beside-pairs.ts';
import { useOneScale } from './beside-scale.ts';
import { BesideTables } from './beside-tables.tsx';
import { Blocks } from './block-view.tsx';
import { besidePath, listBuilds } from './house-calls.ts';
import { HouseHead, LostLine } from './house-head.tsx';
import { ProblemView } from './problem-view.tsx';
import { PLAIN_READER, type Reader, ReaderContext } from './reader.ts';
import { ReaderLine } from './reader-line.tsx';
import { computingWords } from './standings.ts';
import { type LiveBeside, pathOf, type SideName, useBeside } from './use-beside.ts';
import { usePreferences } from './use-preferences.ts';
import { useWorkshopKnown } from './use-workshop-known.ts';

export function BesidePage({ left, right }: { left: string; right: string }) {
  const live = useBeside(left, right);
  const { beside, comparison, problem, lost } = live;
  const [preferences, change] = usePreferences();
  const cards = useCards();
  const readers = useReaders(live, preferences.measure);
  const main = useRef<HTMLElement>(null);
  useOneScale(main);
  useEffect(() => {
    document.title =
      beside === null ? 'Side by side – Helmwright' : `${beside.left.name} and ${beside.right.name} – Helmwright`;
  }, [beside]);
  return (
    <>
      <HouseHead at={null}>
        <LostLine lost={lost && problem === null} />
        <a href={besidePath(right, left)}>Change sides</a>
      </HouseHead>
      <main className="beside" ref={main}>
        <header className="front">
          <p className="imprint">
            {beside !== null && beside.left.id === beside.right.id ? (
              <a href={pathOf(beside.left)}>{beside.left.build.name}</a>
            ) : (
              'Two books'
            )}
          </p>
          <h1>Side by side</h1>
          <div className="standfirst" aria-live="polite">
            {beside === null && problem === null && <p className="quiet">Opening both books.</p>}
            {problem !== null && <ProblemView problem={problem} />}
            {beside !== null && <Words beside={beside} told={comparison} measure={preferences.measure} />}
          </div>
          <ReaderLine preferences={preferences} change={change} measures="with measures" />
          {cards.length > 1 && <BesideChoice cards={cards} left={left} right={right} />}
        </header>
        {beside !== null && (
          <>
            {comparison !== null && comparison.tables.length > 0 && (
              <section
                className={beside.comparison === null ? 'beside-tables beside-old' : 'beside-tables'}
                aria-label="Differences"
              >
                <BesideTables beside={beside} comparison={comparison} readers={readers} />
                {(beside.left.live || beside.right.live) && (
                  <p className="beside-hint">
                    Choices can be changed where they stand, here and in the columns below; the differences follow.
                  </p>
                )}
              </section>
            )}
            <Names beside={beside} />
            <Books beside={beside} readers={readers} />
          </>
        )}
      </main>
    </>
  );
}

/** What was told before stays, set back, until it is told anew. */
function Words(props: {
  readonly beside: Beside;
  readonly told: Comparison | null;
  readonly measure: Reader['measure'];
}) {
  const { beside, told, measure } = props;
  return (
    <>
      {beside.comparison === null && <p>{waitingWords(beside, told)}</p>}
      {told !== null && (
        <div className={beside.comparison === null ? 'beside-words beside-old' : 'beside-words'}>
          <ReaderContext value={{ ...PLAIN_READER, measure }}>
            <Blocks blocks={told.words} drawings={{}} />
          </ReaderContext>
        </div>
      )}
    </>
  );
}

function waitingWords({ left, right }: Beside, told: Comparison | null): string {
  const waiting = [left, right].filter(({ computing, text }) => computing !== null || text === null);
  const names = waiting.length === 1 ? `${waiting[0]!.name} is` : 'both are';
  const before = told === null ? '' : ' What follows is from before the change.';
  return `What differs is told when ${names} computed.${before}`;
}

/** Stay at the head while the columns move. */
function Names({ beside }: { beside: Beside }) {
  return (
    <div className="beside-names">
      {[beside.left, beside.right].map((side, index) => (
        <div key={SIDES[index]} className="beside-side">
          <p className="beside-title">
            <a href={pathOf(side)}>{side.name}</a>
          </p>
          <p className="beside-says">
            <Standing side={side} />
          </p>
          {side.trouble !== null && <ProblemView problem={side.trouble} />}
        </div>
      ))}
    </div>
  );
}

function Standing({ side }: { side: BesideSide }) {
  const { computing, summary, live, id } = side;
  if (computing !== null)
    return (
      <span className="beside-computing">
        {computingWords(computing)}
        {side.text !== null && '; what stands below is from before'}
        <span className="beside-stroke" style={{ '--share': computing.fraction } as React.CSSProperties} />
      </span>
    );
  const says = summary?.says ?? 'Not computed.';
  if (live) return says;
  return (
    <>
      {says} It does not stand and cannot be changed; the{' '}
      <a href={`/builds/${encodeURIComponent(id)}/history`}>history</a> brings it back.
    </>
  );
}

function Books({ beside, readers }: { beside: Beside; readers: Readonly<Record<SideName, Reader>> }) {
  const { left, right } = beside;
  return (
    <>
      {left.text !== null && right.text !== null && (
        <section className="beside-chapter" aria-labelledby="in-short-title">
          <header className="beside-head">
            <h2 id="in-short-title">In short</h2>
          </header>
          <Columns
            title="In short"
            left={left.text.standfirst}
            right={right.text.standfirst}
            absent={{ left: null, right: null }}
            {...{ beside, readers }}
          />
        </section>
      )}
      {chapterPairs(left.text?.chapters ?? [], right.text?.chapters ?? []).map((pair, index) => (
        <BesideChapter
          key={pair.name}
          number={index + 1}
          left={pair.left}
          right={pair.right}
          {...{ beside, readers }}
        />
      ))}
    </>
  );
}

const SIDES: readonly SideName[] = ['left', 'right'];

function useReaders(live: LiveBeside, measure: Reader['measure']): Readonly<Record<SideName, Reader>> {
  const { beside, editing } = live;
  const workshop = useWorkshopKnown();
  const [left, right] = [beside?.left.name ?? '', beside?.right.name ?? ''];
  return useMemo(
    () => ({
      left: { ...PLAIN_READER, measure, workshop, editing: editing.left, side: `${left} (left)` },
      right: { ...PLAIN_READER, measure, workshop, editing: editing.right, side: `${right} (right)` },
    }),
    [editing, measure, workshop, left, right],
  );
}

/** What else could be read side by side. */
function useCards(): readonly BuildCard[] {
  const [cards, setCards] = useState<readonly BuildCard[]>([]);
  useEffect(() => {
    void listBuilds().then((answer) => {
      if (answer.ok) setCards(answer.value);
    });
  }, []);
  return cards;
}
