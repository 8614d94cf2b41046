// A choice that reads as text: the words stand in the sentence, a native list lies over them.
import { useId, useRef } from 'react';
import { ControlNote, useNotePlace } from './control-note.tsx';

export interface ChoiceFieldProps {
  readonly label: string;
  readonly value: string;
  readonly options: readonly { readonly value: string; readonly label: string }[];
  readonly follows: string | null;
  readonly problem: string | null;
  readonly onSet: (value: string) => void;
  /** Where links find it, see control-link.ts. */
  readonly path?: string;
}

export function ChoiceField({ label, value, options, follows, problem, onSet, path }: ChoiceFieldProps) {
  const holder = useRef<HTMLSpanElement>(null);
  const noteId = useId();
  const placeNote = useNotePlace(holder);
  const chosen = options.find((option) => option.value === value);
  return (
    <span className="choice" ref={holder} data-path={path} onPointerEnter={placeNote}>
      <span className="choice-words" aria-hidden="true">
        {chosen?.label ?? '–'}
      </span>
      <select
        aria-label={label}
        aria-describedby={follows === null ? undefined : noteId}
        aria-invalid={problem !== null}
        value={value}
        onFocus={placeNote}
        onChange={(event) => onSet(event.currentTarget.value)}
      >
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.label}
          </option>
        ))}
      </select>
      {(follows !== null || problem !== null) && (
        <ControlNote id={noteId} label={label} says={follows === null ? [] : [follows]} trouble={problem} />
      )}
    </span>
  );
}
