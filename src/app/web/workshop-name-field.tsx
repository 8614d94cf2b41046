// A name that the maker gives, changed where it stands.
import { type KeyboardEvent, useId, useRef, useState } from 'react';
import { ControlNote, useNotePlace } from './control-note.tsx';

/** Longest name a record takes; the server's schema checks it too. */
const LONGEST = 60;

export function NameField(props: {
  readonly label: string;
  readonly value: string;
  readonly problem: string | null;
  readonly onSet: (value: string) => void;
  /** What the note says of it. */
  readonly says?: string;
  /** Where links find it, see control-link.ts. */
  readonly path?: string;
}) {
  const { label, value, problem, onSet, says = 'What you call it. Books name it so when it is chosen.' } = props;
  const [draft, setDraft] = useState<string | null>(null);
  const holder = useRef<HTMLSpanElement>(null);
  const noteId = useId();
  const placeNote = useNotePlace(holder);
  const text = draft ?? value;
  const trouble = draft !== null && draft.trim() === '' ? `A name of 1 to ${LONGEST} letters is wanted.` : problem;
  const commit = (): void => {
    setDraft(null);
    const name = draft?.trim() ?? '';
    if (name !== '' && name !== value) onSet(name);
  };
  const onKeyDown = (event: KeyboardEvent<HTMLInputElement>): void => {
    if (event.key === 'Enter' && (draft === null || draft.trim() !== '')) commit();
    else if (event.key === 'Escape' && draft !== null) setDraft(null);
    else return;
    event.preventDefault();
  };
  return (
    <span className="number name" ref={holder} data-path={props.path} onPointerEnter={placeNote}>
      <input
        className="number-input name-input"
        type="text"
        autoComplete="off"
        maxLength={LONGEST}
        size={Math.max(3, text.length)}
        aria-label={label}
        aria-invalid={trouble !== null}
        aria-describedby={noteId}
        data-draft={draft !== null}
        value={text}
        onFocus={placeNote}
        onChange={(event) => setDraft(event.currentTarget.value)}
        onKeyDown={onKeyDown}
        onBlur={commit}
      />
      <ControlNote id={noteId} label={label} says={[says]} trouble={trouble} />
    </span>
  );
}
