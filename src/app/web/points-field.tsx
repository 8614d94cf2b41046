// Places to be pointed at in the figure, as words in the sentence: pick them, forget them, pick others.
import { useEffect, useId, useRef } from 'react';
import { countWord } from '../../workshop/book/spans.ts';
import { ControlNote, followsWords, useNotePlace } from './control-note.tsx';
import { type Editing, type PointsSpan, useReader } from './reader.ts';

export function LivePoints({ span, editing }: { span: PointsSpan; editing: Editing }) {
  const { picking } = useReader();
  const holder = useRef<HTMLSpanElement>(null);
  const places = placesOf(span);
  const value = editing.valueAt(span.path) ?? null;
  const problem = editing.problemAt(span.path);
  const isPicking = picking?.now?.span.path === span.path;
  const wasPicking = useRef(false);
  useEffect(() => {
    // The focus comes back from the figure to where it left.
    if (wasPicking.current && !isPicking) holder.current?.querySelector('button')?.focus({ preventScroll: true });
    wasPicking.current = isPicking;
  }, [isPicking]);
  const trouble = problem === undefined ? null : `${problem.detail} ${problem.tryThis}`;
  const pick = (says: string) => (
    <PointsWord span={span} says={says} trouble={trouble} onClick={() => picking?.begin(span)} />
  );
  return (
    <span className="points" ref={holder} data-path={span.path}>
      {isPicking ? (
        <>
          point at {places} in the figure, or{' '}
          <button type="button" className="word yours" onClick={picking.giveUp}>
            give up
          </button>
        </>
      ) : value === null ? (
        pick(`pick ${places}`)
      ) : (
        <>
          {places} are set;{' '}
          <PointsWord
            span={span}
            says="forget them"
            trouble={null}
            onClick={() => editing.set(span.path, null, span.follows)}
          />{' '}
          or {pick('pick others')}
        </>
      )}
    </span>
  );
}

export function PlainPoints({ span }: { span: PointsSpan }) {
  return <span className="chosen">{span.value === null ? 'not done' : `${placesOf(span)} are set`}</span>;
}

function placesOf({ count, what }: PointsSpan): string {
  return `${countWord(count)} ${what}`;
}

/** A word that does something, with the note of a control. */
function PointsWord(props: {
  readonly span: PointsSpan;
  readonly says: string;
  readonly trouble: string | null;
  readonly onClick: () => void;
}) {
  const { span, says, trouble, onClick } = props;
  const holder = useRef<HTMLSpanElement>(null);
  const noteId = useId();
  const placeNote = useNotePlace(holder);
  return (
    <span className="points-word" ref={holder} onPointerEnter={placeNote}>
      <button type="button" className="word yours" aria-describedby={noteId} onFocus={placeNote} onClick={onClick}>
        {says}
      </button>
      <ControlNote id={noteId} label={span.label} says={[followsWords(span.follows)]} trouble={trouble} />
    </span>
  );
}
