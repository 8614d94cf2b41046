// The shelf: on the left page what this is and how to begin, on the right page all books, as the contents of a set of manuals.
import { useCallback, useRef, useState } from 'react';
import type { BuildCard, Problem } from '../api/api.ts';
import { BesideChoice } from './beside-choice.tsx';
import { HouseHead, LostLine } from './house-head.tsx';
import { ProblemView } from './problem-view.tsx';
import { ReaderLine } from './reader-line.tsx';
import { ShelfEntry } from './shelf-entry.tsx';
import { ChooseModel, DropSheet, type Taking, useTakeModel } from './take-model.tsx';
import { usePreferences } from './use-preferences.ts';
import { cardsFound, useShelf } from './use-shelf.ts';

export function ShelfPage() {
  const { cards, problem, lost, remove } = useShelf();
  const [preferences, change] = usePreferences();
  const taking = useTakeModel();
  return (
    <>
      <HouseHead at="shelf">
        <LostLine lost={lost} />
      </HouseHead>
      <main className={cards !== null && cards.length > 0 ? 'shelf-spread shelf-filled' : 'shelf-spread'}>
        <header className="shelf-front">
          <p className="imprint">Workshop books</p>
          <h1>Helmwright</h1>
          <Begin taking={taking} />
        </header>
        <section className="shelf-list" aria-labelledby="shelf-title">
          <h2 id="shelf-title">Books</h2>
          {problem !== null && <ProblemView problem={problem} />}
          {cards === null && problem === null && <p className="quiet">Looking for books.</p>}
          {cards !== null && cards.length === 0 && <Empty />}
          {cards !== null && cards.length > 0 && <Entries cards={cards} remove={remove} />}
        </section>
        <footer className="shelf-foot">
          <p>
            Takes STL, 3MF, OBJ, PLY, OFF, GLB, and glTF with the files it names. What is open, torn or crosses itself
            is mended first, and every mend is told. Nothing leaves this machine.
          </p>
          <p>
            A book that was taken out of a shelf as one file is{' '}
            <ChooseModel taking={taking} endings={['.zip']}>
              taken in again
            </ChooseModel>{' '}
            with its history.
          </p>
          <ReaderLine preferences={preferences} change={change} measures="without measures" />
        </footer>
      </main>
      <DropSheet taking={taking} />
    </>
  );
}

function Begin({ taking }: { taking: Taking }) {
  return (
    <>
      <div className="standfirst">
        <p>
          Drop a model of a helmet, a mask or a piece of armour anywhere on this page, or{' '}
          <ChooseModel taking={taking}>choose its file</ChooseModel>.
        </p>
        <p className="shelf-what">
          A book is written about it: how it is sized to its wearer, where it is divided, how each piece is printed and
          how long that takes. Every number that is yours to decide can be changed where it stands.
        </p>
      </div>
      {taking.problem !== null && <ProblemView problem={taking.problem} />}
    </>
  );
}

function Empty() {
  return (
    <div className="shelf-empty">
      <p>There is none yet. The first one begins when a model is dropped here or its file is chosen.</p>
      <p className="shelf-demo">
        To see a book before you have a model, end the program and start it with <code>helmwright demo --serve</code>:
        it models a helm of its own and writes the book of it.
      </p>
    </div>
  );
}

/** From this many books on there is a line to find one. */
const MANY = 12;

function Entries(props: {
  readonly cards: readonly BuildCard[];
  readonly remove: (id: string) => Promise<Problem | null>;
}) {
  const { cards, remove } = props;
  const [typed, setTyped] = useState('');
  const [said, setSaid] = useState('');
  const list = useRef<HTMLUListElement>(null);
  const found = cardsFound(cards, typed);
  const removeAndSay = useCallback(
    async ({ id, title }: BuildCard): Promise<Problem | null> => {
      const why = await remove(id);
      if (why === null) {
        setSaid(`“${title}” is deleted.`);
        list.current?.focus();
      }
      return why;
    },
    [remove],
  );
  return (
    <>
      {cards.length >= 2 && <BesideChoice cards={cards} />}
      {cards.length > MANY && (
        <p className="shelf-find">
          <label>
            Find <input type="search" value={typed} onChange={(event) => setTyped(event.currentTarget.value)} />
          </label>{' '}
          <span role="status">
            {typed.trim() === '' ? `among ${cards.length} books` : `${found.length} of ${cards.length}`}
          </span>
        </p>
      )}
      <p className="shelf-said" role="status">
        {said}
      </p>
      <ul className="shelf-entries" ref={list} tabIndex={-1} aria-labelledby="shelf-title">
        {found.map((card) => (
          <ShelfEntry key={card.id} card={card} remove={removeAndSay} />
        ))}
      </ul>
      {found.length === 0 && <p className="quiet">No book has all of these words.</p>}
    </>
  );
}
