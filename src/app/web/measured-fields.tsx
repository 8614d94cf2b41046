// The words by which a maker notes what a print took and weighed: which print, hours, grams, and the word that keeps it.
import { type KeyboardEvent, useId, useRef, useState } from 'react';
import type { Span } from '../../workshop/book/book-text.ts';
import { isFarOff } from '../../workshop/process/far-off.ts';
import { NotedWord } from './asked-fields.tsx';
import { ChoiceField } from './choice-field.tsx';
import { ControlNote, useNotePlace } from './control-note.tsx';
import { showDuration } from './format.ts';
import { addEntry } from './list-entries.ts';
import { readHours } from './read-hours.ts';
import { type Reading, readNumber } from './read-number.ts';
import type { Editing } from './reader.ts';

type MeasuredSpan = Extract<Span, { s: 'measured' }>;

/** What is typed is the page's until it is kept; then it goes into the list of the machine that printed it. */
export function LiveMeasured({ span, editing }: { span: MeasuredSpan; editing: Editing }) {
  const [chosen, setChosen] = useState(0);
  const [took, setTook] = useState('');
  const [weighed, setWeighed] = useState('');
  const print = span.prints[Math.min(chosen, span.prints.length - 1)];
  if (print === undefined) return null;
  const tookS = near(readHours(took, span.tookS), print.estimatedS, showDuration);
  const weighedG =
    weighed.trim() === '' ? null : near(readGrams(weighed, span), print.estimatedG, (g) => `${g.toFixed(0)} g`);
  const problem = editing.problemAt(print.path);
  const keep = (): void => {
    if (!tookS.ok || weighedG?.ok === false) return;
    const entry = JSON.parse(print.entry) as object;
    addEntry(
      editing,
      print.path,
      { ...entry, tookS: tookS.value, weighedG: weighedG === null ? null : weighedG.value },
      span.follows,
    );
    setTook('');
    setWeighed('');
  };
  const ready = tookS.ok && weighedG?.ok !== false;
  return (
    <>
      <ChoiceField
        label={span.label}
        value={String(span.prints.indexOf(print))}
        options={span.prints.map(({ label }, index) => ({ value: String(index), label }))}
        follows="The print that was measured."
        problem={null}
        onSet={(value) => setChosen(Number(value))}
      />
      {' took '}
      <TypedField
        label={`Hours of ${print.label}`}
        says={`From the start to the last layer, such as 7 h 12 or 7.2. Its figures alone say ${showDuration(print.estimatedS)}.`}
        value={took}
        empty="hours"
        trouble={took === '' || tookS.ok ? null : tookS.say}
        onType={setTook}
        onEnter={keep}
      />
      {' and weighed '}
      <TypedField
        label={`Grams of ${print.label}`}
        says={`With its support, as it comes off the bed. Its figures alone say ${print.estimatedG.toFixed(0)} g. May stay empty.`}
        value={weighed}
        empty="grams"
        trouble={weighedG === null || weighedG.ok ? null : weighedG.say}
        onType={setWeighed}
        onEnter={keep}
      />
      {weighed.trim() !== '' && '\u00a0g'}
      {ready && (
        <>
          {': '}
          <NotedWord
            says="keep it"
            label={`What ${print.label} took`}
            follows={span.follows}
            trouble={problem === undefined ? null : `${problem.detail} ${problem.tryThis}`}
            onClick={keep}
          />
        </>
      )}
      .
    </>
  );
}

function readGrams(typed: string, { weighedG: [min, max] }: MeasuredSpan): Reading {
  return readNumber(typed, { unit: 'g', digits: 1, min, max, measure: 'mm' });
}

/** Refused here already, with the words of the limit, when it can be no measurement of this print. */
function near(reading: Reading, estimated: number, words: (value: number) => string): Reading {
  if (!reading.ok || !isFarOff(reading.value, estimated)) return reading;
  return {
    ok: false,
    say: `${words(reading.value)} is less than a third or more than three times of the ${words(estimated)} that its figures say; look whether it is the right print and unit.`,
  };
}

function TypedField(props: {
  readonly label: string;
  readonly says: string;
  readonly value: string;
  /** What stands there while nothing is typed. */
  readonly empty: string;
  readonly trouble: string | null;
  readonly onType: (value: string) => void;
  readonly onEnter: () => void;
}) {
  const { label, says, value, empty, trouble, onType, onEnter } = props;
  const holder = useRef<HTMLSpanElement>(null);
  const noteId = useId();
  const placeNote = useNotePlace(holder);
  const onKeyDown = (event: KeyboardEvent<HTMLInputElement>): void => {
    if (event.key === 'Enter') onEnter();
    else if (event.key === 'Escape') onType('');
    else return;
    event.preventDefault();
  };
  return (
    <span className="number" ref={holder} onPointerEnter={placeNote}>
      <input
        className="number-input"
        type="text"
        autoComplete="off"
        spellCheck={false}
        aria-label={label}
        aria-invalid={trouble !== null}
        aria-describedby={noteId}
        style={{ '--ch': Math.max(empty.length, value.length) } as React.CSSProperties}
        placeholder={empty}
        value={value}
        onFocus={placeNote}
        onChange={(event) => onType(event.currentTarget.value)}
        onKeyDown={onKeyDown}
      />
      <ControlNote id={noteId} label={label} says={[says]} trouble={trouble} />
    </span>
  );
}
