// One number of a workshop record in its sentence or table: range and source in its note, saved as soon as it is set.
import type { Unit } from '../../workshop/book/book-text.ts';
import type { NumberRange } from '../../workshop/process/workshop-ranges.ts';
import { type Measure, showSetting } from './format.ts';
import { NumberField } from './number-field.tsx';
import type { LiveWorkshop } from './workshop-live.ts';
import type { Place } from './workshop-values.ts';

export interface RecordNumberProps {
  readonly live: LiveWorkshop;
  readonly measure: Measure;
  readonly place: Place;
  readonly value: number;
  readonly label: string;
  /** 'count' for units the reader does not choose; the sentence says them after the number, `label` within. */
  readonly unit: Unit;
  readonly digits: number;
  readonly step: number;
  readonly range: NumberRange;
  readonly usual: number | null;
  readonly source: string;
}

const FOLLOWS: Readonly<Record<Place['kind'], string>> = {
  machine: 'Books keep their own copy and are offered the new value.',
  material: 'Books keep their own copy and are offered the new value.',
  maker: 'No book reads it yet.',
};

export function RecordNumber(props: RecordNumberProps) {
  const { live, measure, place, value, label, unit, digits, step, range, usual, source } = props;
  const say = (of: unknown): string => {
    const shown = showSetting(Number(of), unit, digits, measure);
    return `${shown.number}${shown.unit}`;
  };
  return (
    <NumberField
      label={label}
      value={value}
      unit={unit}
      digits={digits}
      step={step}
      min={range[0]}
      max={range[1]}
      usual={usual}
      measure={measure}
      follows={`${source} ${FOLLOWS[place.kind]}`}
      problem={live.problemAt(place)}
      onSet={(next) => live.set({ ...place, value: next, label, say })}
    />
  );
}
