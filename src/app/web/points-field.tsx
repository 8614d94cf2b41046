// Places to be pointed at in the figure, as words in the sentence: pick them, forget them, pick others.
import { useEffect, useId, useRef } from 'react';
import { countWord } from '../../workshop/book/spans.ts';
import { ControlNote, followsWords, useNotePlace } from './control-note.tsx';
import { type Editing, type PointsSpan, useReader } from './reader.ts';

export function LivePoints({ span, editing }: { span: PointsSpan; editing: Editing }) {
  const { picking } = useReader();
  const holder = useRef<HTMLSpanElement>(null);
  const noteId = useId();
  const placeNote = useNotePlace(holder);
  const places = `${countWord(span.count)} ${span.what}`;
  const value = editing.valueAt(span.path) ?? null;
  const problem = editing.problemAt(span.path);
  const isPicking = picking?.now?.span.path === span.path;
  const wasPicking = useRef(false);
  useEffect(() => {
    // The focus comes back from the figure to where it left.
    if (wasPicking.current && !isPicking) holder.current?.querySelector('button')?.focus({ preventScroll: true });
    wasPicking.current = isPicking;
  }, [isPicking]);
  const word = (says: string, act: () => void) => (
    <button type="button" className="word yours" aria-describedby={noteId} onFocus={placeNote} onClick={act}>
      {says}
    </button>
  );
  const begin = (): void => picking?.begin(span);
  const forget = (): void => editing.set(span.path, null, span.follows);
  return (
    <span className="points" ref={holder} onPointerEnter={placeNote}>
      {isPicking ? (
        <>
          point at {places} in the figure, or {word('give up', () => picking?.giveUp())}
        </>
      ) : value === null ? (
        word(`pick ${places}`, begin)
      ) : (
        <>
          {places} are set; {word('forget them', forget)} or {word('pick others', begin)}
        </>
      )}
      <ControlNote
        id={noteId}
        label={span.label}
        says={[followsWords(span.follows)]}
        trouble={problem === undefined ? null : `${problem.detail} ${problem.tryThis}`}
      />
    </span>
  );
}

export function PlainPoints({ span }: { span: PointsSpan }) {
  const places = `${countWord(span.count)} ${span.what}`;
  return <span className="chosen">{span.value === null ? 'not done' : `${places} are set`}</span>;
}
