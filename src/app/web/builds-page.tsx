// The first page: what this is, where to drop a model, and the builds there are.
import { useEffect, useState } from 'react';
import type { BuildCard } from '../api/api.ts';
import { ProblemView } from './problem-view.tsx';
import { ReaderLine } from './reader-line.tsx';
import { type Answer, ask } from './server-calls.ts';
import { ChooseModel, DropSheet, useTakeModel } from './take-model.tsx';
import { usePreferences } from './use-preferences.ts';

export function BuildsPage() {
  const [answer, setAnswer] = useState<Answer<readonly BuildCard[]> | null>(null);
  const [preferences, change] = usePreferences();
  const taking = useTakeModel();
  useEffect(() => {
    document.title = 'Helmwright';
    void ask<readonly BuildCard[]>('/api/builds').then(setAnswer);
  }, []);
  return (
    <main className="builds">
      <header className="front">
        <p className="imprint">Workshop books</p>
        <h1>Helmwright</h1>
        <div className="standfirst">
          <p>
            Drop a model of a helmet, a mask or a piece of armour anywhere on this page, or{' '}
            <ChooseModel taking={taking}>choose its file</ChooseModel>. A book is written about it: how it is sized to
            its wearer, where it is divided, how each piece is printed and how long that takes. Every number that is
            yours to decide can be changed where it stands.
          </p>
          <p className="accepts">
            Takes STL, 3MF, OBJ, PLY, OFF, GLB, and glTF with the files it names. What is open, torn or crosses itself
            is mended first, and every mend is told. Nothing leaves this machine.
          </p>
          {taking.problem !== null && <ProblemView problem={taking.problem} />}
        </div>
      </header>
      <section className="build-list" aria-labelledby="builds-title">
        <h2 id="builds-title">Builds</h2>
        <BuildList answer={answer} />
      </section>
      <footer className="colophon">
        <ReaderLine preferences={preferences} change={change} measures="without measures" />
      </footer>
      <DropSheet taking={taking} />
    </main>
  );
}

function BuildList({ answer }: { answer: Answer<readonly BuildCard[]> | null }) {
  if (answer === null) return <p className="quiet">Looking for builds.</p>;
  if (!answer.ok) return <ProblemView problem={answer.problem} />;
  if (answer.value.length === 0) return <p className="quiet">There is none yet.</p>;
  const newestFirst = [...answer.value].sort((a, b) => b.changedAt.localeCompare(a.changedAt));
  return (
    <ul>
      {newestFirst.map((build) => (
        <li key={build.id}>
          <a href={`/builds/${encodeURIComponent(build.id)}`}>{build.title}</a>
          <span className="leader" aria-hidden="true" />
          <span className="changed">changed {dayAndHour(build.changedAt)}</span>
        </li>
      ))}
    </ul>
  );
}

function dayAndHour(iso: string): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return 'at an unknown time';
  const day = date.toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });
  const hour = date.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' });
  return `${day}, ${hour}`;
}
