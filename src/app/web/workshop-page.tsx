// The workshop: machines, materials, the maker's hours and rates, written as sentences whose numbers change in place.
import { useEffect, useState } from 'react';
import { countWord } from '../../workshop/book/spans.ts';
import type { Workshop } from '../api/workshop.ts';
import { HouseHead, LostLine } from './house-head.tsx';
import { ProblemView } from './problem-view.tsx';
import { ReaderLine } from './reader-line.tsx';
import { usePreferences } from './use-preferences.ts';
import { useUndoKeys } from './use-undo-keys.ts';
import { AddMachine, AddMaterial } from './workshop-add.tsx';
import { useCurrency } from './workshop-currency.ts';
import { useWorkshop } from './workshop-live.ts';
import { MachineView } from './workshop-machine.tsx';
import { MakerView } from './workshop-maker.tsx';
import { MaterialView } from './workshop-material.tsx';
import { Spaces } from './workshop-spaces.tsx';

export function WorkshopPage() {
  const live = useWorkshop();
  const { workshop, problem, lost, last, undo } = live;
  const [preferences, change] = usePreferences();
  const { measure } = preferences;
  const [near, setNear] = useState<string | null>(null);
  const [currency, setCurrency] = useCurrency(live);
  const [fresh, setFresh] = useState<string | null>(null);
  useUndoKeys((step) => {
    if (step === 'undo') undo();
  });
  // A record that was just added is named first.
  useEffect(() => {
    if (fresh === null) return;
    const name = document.getElementById(fresh)?.querySelector<HTMLInputElement>('.name-input');
    if (name === undefined || name === null) return;
    name.focus();
    name.select();
    setFresh(null);
  });
  const recordAt = (target: EventTarget): string | null =>
    target instanceof Element ? (target.closest('.workshop-record')?.id ?? null) : null;
  return (
    <>
      <HouseHead at="workshop">
        <LostLine lost={lost} />
        <p role="status" className="workshop-last">
          {last}
        </p>
        <button type="button" className="word" disabled={last === null} aria-keyshortcuts="Control+Z" onClick={undo}>
          Undo
        </button>
      </HouseHead>
      <main
        className="spread"
        onFocus={(event) => setNear(recordAt(event.target))}
        onPointerOver={(event) => setNear(recordAt(event.target) ?? near)}
      >
        <div className="left-page">
          <header className="front">
            <p className="imprint">Helmwright</p>
            <h1>Workshop</h1>
            <div className="standfirst">
              <p>
                What you print on, what you print with, and your own hours. A book freezes a copy of the machines and
                the material it uses: what is changed here is offered to the books, and changes none of them by itself.
              </p>
            </div>
            <ReaderLine preferences={preferences} change={change} measures="with measures" />
            {problem !== null && <ProblemView problem={problem} />}
          </header>
          {workshop === null && problem === null && <p className="quiet">Opening the workshop.</p>}
          {workshop !== null && (
            <>
              <Chapter number={1} name="machines" title="Machines" asks={machinesAsk(workshop)} margin={SOURCES}>
                {workshop.machines.map((machine) => (
                  <MachineView key={machine.id} {...{ machine, workshop, live, measure, currency }} />
                ))}
                <AddMachine workshop={workshop} live={live} onAdded={setFresh} />
              </Chapter>
              <Chapter
                number={2}
                name="materials"
                title="Materials"
                asks="What are pieces made of, and what does it weigh?"
              >
                {workshop.materials.map((material) => (
                  <MaterialView key={material.id} {...{ material, live, measure, currency }} />
                ))}
                <AddMaterial workshop={workshop} live={live} onAdded={setFresh} />
              </Chapter>
              <Chapter number={3} name="maker" title="Hours and rates" asks="When is there time, and what is it worth?">
                <MakerView {...{ workshop, live, measure, currency, setCurrency }} />
              </Chapter>
              <footer className="colophon">
                <p>
                  Every change is kept at once, on this machine. The usual values and their sources stand in
                  docs/facts.md.
                </p>
              </footer>
            </>
          )}
        </div>
        {workshop !== null && workshop.machines.length > 0 && (
          <aside className="plate workshop-plate" aria-label="The machines’ spaces">
            <Spaces machines={workshop.machines} near={near} measure={measure} />
          </aside>
        )}
      </main>
    </>
  );
}

const SOURCES =
  'The note under a number says what is usual and where that comes from. Most speeds are common practice without a source: put your own machine’s in their place.';

function machinesAsk({ machines }: Workshop): string {
  const count = countWord(machines.length);
  const word = `${count.charAt(0).toUpperCase()}${count.slice(1)}`;
  return machines.length === 1
    ? 'One machine. What can it print, and how fast?'
    : `${word} machines. What can each print, and how fast?`;
}

function Chapter(props: {
  readonly number: number;
  readonly name: string;
  readonly title: string;
  readonly asks: string;
  readonly margin?: string;
  readonly children: React.ReactNode;
}) {
  const { number, name, title, asks, margin, children } = props;
  return (
    <section className="chapter" id={name} aria-labelledby={`${name}-title`}>
      <header className="chapter-head">
        <span className="chapter-number" aria-hidden="true">
          {number}
        </span>
        <h2 id={`${name}-title`}>{title}</h2>
        <p className="asks">{asks}</p>
      </header>
      {margin !== undefined && (
        <aside className="margin" aria-label={`Notes on ${title}`}>
          <div className="finding finding-note">
            <p>{margin}</p>
          </div>
        </aside>
      )}
      <div className="chapter-text">{children}</div>
    </section>
  );
}
