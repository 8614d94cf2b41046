// A number that reads as text and can be changed where it stands.
import { type KeyboardEvent, useId, useRef, useState } from 'react';
import type { Unit } from '../../workshop/book/book-text.ts';
import { ControlNote, useNotePlace } from './control-note.tsx';
import { type Measure, showSetting } from './format.ts';
import { rangeWords, readNumber, stepped } from './read-number.ts';

export interface NumberFieldProps {
  readonly label: string;
  readonly value: number;
  readonly unit: Unit;
  readonly digits: number;
  readonly min: number;
  readonly max: number;
  readonly step: number;
  readonly usual: number | null;
  readonly measure: Measure;
  /** The sentence after range and usual value. */
  readonly follows: string;
  readonly problem: string | null;
  readonly onSet: (value: number) => void;
  /** Where links find it, see control-link.ts. */
  readonly path?: string;
  /** True to hear every step of the arrow keys, for what costs nothing to follow. */
  readonly eager?: boolean;
}

/** Typing edits, arrow keys step (with Shift ten steps), Enter or leaving commits, Escape gives back. */
export function NumberField(props: NumberFieldProps) {
  const { label, value, unit, measure } = props;
  const [draft, setDraft] = useState<string | null>(null);
  const [isSet, setIsSet] = useState(false);
  const holder = useRef<HTMLSpanElement>(null);
  const noteId = useId();
  const placeNote = useNotePlace(holder);
  const digits = digitsFor(value, props);
  const shown = showSetting(value, unit, digits, measure);
  const text = draft ?? shown.number;
  const reading = draft === null ? null : readNumber(draft, props);
  const trouble = reading !== null && !reading.ok ? reading.say : props.problem;

  const commit = (): void => {
    setDraft(null);
    if (reading?.ok && showSetting(reading.value, unit, digits + 2, measure).number !== exact(value)) {
      props.onSet(reading.value);
    }
  };
  const exact = (of: number): string => showSetting(of, unit, digits + 2, measure).number;
  const stepBy = (steps: number): void => {
    const from = reading?.ok ? reading.value : value;
    const next = stepped(from, steps, props);
    if (props.eager === true) {
      setDraft(null);
      props.onSet(next);
    } else setDraft(showSetting(next, unit, digitsFor(next, props), measure).number);
  };
  const onKeyDown = (event: KeyboardEvent<HTMLInputElement>): void => {
    const steps = STEPS[event.key];
    if (steps !== undefined) stepBy(event.shiftKey ? steps * 10 : steps);
    else if (event.key === 'Enter' && (reading === null || reading.ok)) {
      commit();
      setIsSet(true);
    } else if (event.key === 'Escape' && draft !== null) setDraft(null);
    else return;
    event.preventDefault();
  };

  return (
    <span
      className={isSet ? 'number number-set' : 'number'}
      ref={holder}
      data-path={props.path}
      onPointerEnter={placeNote}
    >
      <input
        className="number-input"
        type="text"
        inputMode="decimal"
        autoComplete="off"
        spellCheck={false}
        role="spinbutton"
        aria-label={label}
        aria-valuenow={value}
        aria-valuemin={props.min}
        aria-valuemax={props.max}
        aria-valuetext={`${text}${shown.unit}`}
        aria-invalid={trouble !== null}
        data-draft={draft !== null}
        aria-describedby={noteId}
        style={{ '--ch': Math.max(1, widthOf(text)) } as React.CSSProperties}
        value={text}
        onFocus={(event) => {
          placeNote();
          event.currentTarget.select();
        }}
        onChange={(event) => {
          setIsSet(false);
          setDraft(event.currentTarget.value);
        }}
        onKeyDown={onKeyDown}
        onBlur={() => {
          setIsSet(false);
          commit();
        }}
      />
      {shown.unit !== '' && <span className="number-unit">{shown.unit}</span>}
      <ControlNote
        id={noteId}
        label={label}
        says={[`${rangeWords(props)}${usualWords(props)}.`, props.follows]}
        trouble={trouble}
      />
    </span>
  );
}

const STEPS: Readonly<Record<string, number>> = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 };

/** More digits than usual when the value would otherwise show as something else. */
function digitsFor(value: number, { unit, digits, measure }: NumberFieldProps): number {
  if (measure === 'inch' && unit !== 'count') return digits;
  for (let more = digits; more < digits + 3; more++)
    if (Math.abs(value - Number(value.toFixed(more))) < 1e-6) return more;
  return digits;
}

function usualWords({ usual, unit, digits, measure }: NumberFieldProps): string {
  return usual === null ? '' : `; usually ${showSetting(usual, unit, digits, measure).number}`;
}

/** In widths of a digit: signs and spaces are narrower. */
function widthOf(text: string): number {
  let width = 0;
  for (const c of text) width += c === '.' || c === ',' ? 0.5 : c === '\u202f' ? 0.4 : 1;
  return width;
}
