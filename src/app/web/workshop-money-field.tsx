// An amount that reads as text and can be changed, or left unnoted, where it stands.
import { type KeyboardEvent, useId, useRef, useState } from 'react';
import { ControlNote, useNotePlace } from './control-note.tsx';
import { type Money, NOT_NOTED, readMoney, showMoney } from './workshop-money.ts';

export interface MoneyFieldProps {
  readonly label: string;
  readonly value: Money | null;
  /** Of amounts that are not noted yet. */
  readonly currency: string;
  readonly says: readonly string[];
  readonly problem: string | null;
  readonly onSet: (value: Money | null) => void;
}

/** Enter or leaving sets, Escape gives back, nothing typed means not noted. */
export function MoneyField({ label, value, currency, says, problem, onSet }: MoneyFieldProps) {
  const [draft, setDraft] = useState<string | null>(null);
  const holder = useRef<HTMLSpanElement>(null);
  const noteId = useId();
  const placeNote = useNotePlace(holder);
  const code = value?.currency ?? currency;
  const text = draft ?? (value === null ? '' : showMoney(value));
  const reading = draft === null ? null : readMoney(draft, code);
  const trouble = reading !== null && !reading.ok ? reading.say : problem;
  const commit = (): void => {
    setDraft(null);
    if (reading?.ok && JSON.stringify(reading.value) !== JSON.stringify(value)) onSet(reading.value);
  };
  const onKeyDown = (event: KeyboardEvent<HTMLInputElement>): void => {
    if (event.key === 'Enter' && (reading === null || reading.ok)) commit();
    else if (event.key === 'Escape' && draft !== null) setDraft(null);
    else return;
    event.preventDefault();
  };
  const wide = text === '' ? NOT_NOTED.length : text.length;
  return (
    <span className={text === '' ? 'number money money-none' : 'number money'} ref={holder} onPointerEnter={placeNote}>
      <input
        className="number-input"
        type="text"
        inputMode="decimal"
        autoComplete="off"
        spellCheck={false}
        aria-label={`${label}, ${code}`}
        aria-invalid={trouble !== null}
        aria-describedby={noteId}
        data-draft={draft !== null}
        placeholder={NOT_NOTED}
        style={{ '--ch': Math.max(3, wide) } as React.CSSProperties}
        value={text}
        onFocus={(event) => {
          placeNote();
          event.currentTarget.select();
        }}
        onChange={(event) => setDraft(event.currentTarget.value)}
        onKeyDown={onKeyDown}
        onBlur={commit}
      />
      {text !== '' && <span className="number-unit">{`\u00a0${code}`}</span>}
      <ControlNote
        id={noteId}
        label={label}
        says={[`In ${code}; leave it empty for ${NOT_NOTED}.`, ...says]}
        trouble={trouble}
      />
    </span>
  );
}
