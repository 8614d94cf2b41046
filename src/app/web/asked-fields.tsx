// The words by which a maker asks for seams: hold one, let it go, give a piece its machine, point at places, rename.
import { useEffect, useId, useRef } from 'react';
import type { Span } from '../../workshop/book/book-text.ts';
import { ChoiceField } from './choice-field.tsx';
import { ControlNote, followsWords, useNotePlace } from './control-note.tsx';
import { addEntry, exchangeEntry, isSame, listAt, removeEntry } from './list-entries.ts';
import { type Editing, type PlacesSpan, useReader } from './reader.ts';
import { NameField } from './workshop-name-field.tsx';

type DeedSpan = Extract<Span, { s: 'deed' }>;
type EntrySpan = Extract<Span, { s: 'entry' }>;
type NameSpan = Extract<Span, { s: 'name' }>;

/** A word that puts something into a list of the build or takes it out; once done it says so until the new text is there. */
export function LiveDeed({ span, editing }: { span: DeedSpan; editing: Editing }) {
  const entry = JSON.parse(span.entry) as unknown;
  const { does, path } = span;
  if (does === 'add' && listAt(editing, path).some((one) => isSame(one, entry))) return <em>held</em>;
  if (does === 'remove' && listAt(editing, path).length !== span.of) return <em>being taken over</em>;
  const problem = editing.problemAt(path);
  return (
    <NotedWord
      says={span.says}
      label={span.label}
      follows={span.follows}
      trouble={problem === undefined ? null : `${problem.detail} ${problem.tryThis}`}
      onClick={() => {
        if (does === 'add') addEntry(editing, path, entry, span.follows);
        else removeEntry(editing, path, { entry, index: span.index }, span.follows);
      }}
    />
  );
}

/** A choice of one entry of a list, or none of them. */
export function LiveEntry({ span, editing }: { span: EntrySpan; editing: Editing }) {
  const entries = span.options.flatMap(({ entry }) => (entry === null ? [] : [JSON.parse(entry) as unknown]));
  const list = listAt(editing, span.path);
  const stands = entries.findIndex((entry) => list.some((one) => isSame(one, entry)));
  const problem = editing.problemAt(span.path);
  const options = span.options.map(({ entry, label }) => ({ value: entry ?? '', label }));
  return (
    <ChoiceField
      label={span.label}
      value={stands < 0 ? '' : JSON.stringify(entries[stands])}
      options={options}
      follows={followsWords(span.follows)}
      problem={problem === undefined ? null : `${problem.detail} ${problem.tryThis}`}
      path={span.path}
      onSet={(value) =>
        exchangeEntry(
          editing,
          span.path,
          { gone: entries, come: value === '' ? null : (JSON.parse(value) as unknown) },
          span.follows,
        )
      }
    />
  );
}

export function PlainEntry({ span }: { span: EntrySpan }) {
  return <span className="chosen">{span.options.find(({ entry }) => entry === span.value)?.label ?? ''}</span>;
}

export function LiveName({ span, editing }: { span: NameSpan; editing: Editing }) {
  const now = editing.valueAt(span.path);
  const problem = editing.problemAt(span.path);
  return (
    <NameField
      label={span.label}
      value={typeof now === 'string' ? now : span.value}
      says="What you call it. Nothing has to be computed again."
      problem={problem === undefined ? null : `${problem.detail} ${problem.tryThis}`}
      onSet={(value) => editing.set(span.path, value, span.follows)}
      path={span.path}
    />
  );
}

/** Places to be pointed at in the figure, from which a seam or an area is made. */
export function LivePlaces({ span, editing }: { span: PlacesSpan; editing: Editing }) {
  const { picking } = useReader();
  const holder = useRef<HTMLSpanElement>(null);
  const now = picking?.now ?? null;
  const isPicking = now?.span.s === 'places' && now.span.makes === span.makes;
  const wasPicking = useRef(false);
  useEffect(() => {
    // The focus comes back from the figure to where it left.
    if (wasPicking.current && !isPicking) holder.current?.querySelector('button')?.focus({ preventScroll: true });
    wasPicking.current = isPicking;
  }, [isPicking]);
  const problem = editing.problemAt(span.path);
  return (
    <span className="points" ref={holder} data-path={span.path}>
      {isPicking && picking !== null ? (
        <>
          {now.points.length} {now.points.length === 1 ? 'place' : 'places'} so far,{' '}
          {now.points.length >= span.least && (
            <>
              <button type="button" className="word yours" onClick={picking.finish}>
                that is all of them
              </button>
              , or{' '}
            </>
          )}
          <button type="button" className="word yours" onClick={picking.giveUp}>
            give up
          </button>
        </>
      ) : (
        <NotedWord
          says={span.says}
          label={span.label}
          follows={span.follows}
          trouble={problem === undefined ? null : `${problem.detail} ${problem.tryThis}`}
          onClick={() => picking?.begin(span)}
        />
      )}
    </span>
  );
}

/** A word that does something, with the note of a control. */
export function NotedWord(props: {
  readonly says: string;
  readonly label: string;
  readonly follows: readonly string[];
  readonly trouble: string | null;
  readonly onClick: () => void;
}) {
  const { says, label, follows, trouble, onClick } = props;
  const holder = useRef<HTMLSpanElement>(null);
  const noteId = useId();
  const placeNote = useNotePlace(holder);
  return (
    <span className="points-word" ref={holder} onPointerEnter={placeNote}>
      <button
        type="button"
        className="word yours"
        aria-label={says.includes(label) ? undefined : `${says}: ${label}`}
        aria-describedby={noteId}
        onFocus={placeNote}
        onClick={onClick}
      >
        {says}
      </button>
      <ControlNote id={noteId} label={label} says={[followsWords(follows)]} trouble={trouble} />
    </span>
  );
}
