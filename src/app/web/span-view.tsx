// Sets the spans of a sentence: text, terms, quantities, and the maker's numbers and choices.
import type { Span } from '../../workshop/book/book-text.ts';
import { machineLabel } from '../../workshop/book/machine-words.ts';
import type { Machine } from '../../workshop/process/machine.ts';
import { LiveDeed, LiveEntry, LiveName, LivePlaces, PlainEntry } from './asked-fields.tsx';
import { ChoiceField } from './choice-field.tsx';
import { followsWords } from './control-note.tsx';
import { showQuantity, showSetting } from './format.ts';
import { LiveMeasured } from './measured-fields.tsx';
import { NumberField } from './number-field.tsx';
import { LivePlane, PlainPlane } from './plane-field.tsx';
import { LivePoints, PlainPoints } from './points-field.tsx';
import { type Editing, useReader } from './reader.ts';
import { withWorkshop } from './workshop-options.ts';

export type SpanPlace = 'sentence' | 'table' | 'column with its unit in the head';

export function Spans({ spans, place = 'sentence' }: { spans: readonly Span[]; place?: SpanPlace }) {
  // Spans have no identity but their order, which never changes within a block.
  return spans.map((span, index) => (
    <SpanView
      // biome-ignore lint/suspicious/noArrayIndexKey: see above
      key={`${index}-${'path' in span ? span.path : span.s}`}
      span={span}
      place={place}
      bare={isSide(spans, index)}
    />
  ));
}

/** In "212 × 140 × 98 mm" only the last side carries the unit. */
function isSide(spans: readonly Span[], index: number): boolean {
  const [span, times, next] = spans.slice(index, index + 3);
  return (
    span?.s === 'quantity' &&
    next?.s === 'quantity' &&
    span.unit === next.unit &&
    times?.s === 'text' &&
    times.text.trim() === '×'
  );
}

/** Names of seams, such as A-B, do not break at their hyphen. */
function unbroken(words: string) {
  if (!/\w-\w/.test(words)) return words;
  return words.split(/(\S+-\S+)/).map((part, index) => (
    // biome-ignore lint/suspicious/noArrayIndexKey: words have no identity but their order
    <span key={index} className={index % 2 === 1 ? 'unbroken' : undefined}>
      {part}
    </span>
  ));
}

function SpanView({ span, place, bare }: { span: Span; place: SpanPlace; bare: boolean }) {
  const { measure, editing, picking } = useReader();
  switch (span.s) {
    case 'text':
      return span.text;
    case 'term':
      return <span className="term">{unbroken(span.text)}</span>;
    case 'quantity': {
      const inTable = place === 'sentence' ? 'sentence' : 'table';
      const shown = showQuantity(span.value, span.unit, { digits: span.digits, measure, place: inTable });
      const unit = bare || place === 'column with its unit in the head' ? '' : shown.unit;
      return <span className="quantity">{`${shown.number}${unit}`}</span>;
    }
    case 'number':
      return editing === null ? <PlainNumber span={span} /> : <LiveNumber span={span} editing={editing} />;
    case 'choice':
      return editing === null ? <PlainChoice span={span} /> : <LiveChoice span={span} editing={editing} />;
    case 'points':
      // Where there is no figure nothing can be pointed at.
      if (editing === null || picking === null) return <PlainPoints span={span} />;
      return <LivePoints span={span} editing={editing} />;
    case 'deed':
      return editing === null ? null : <LiveDeed span={span} editing={editing} />;
    case 'entry':
      return editing === null ? <PlainEntry span={span} /> : <LiveEntry span={span} editing={editing} />;
    case 'places':
      return editing === null || picking === null ? null : <LivePlaces span={span} editing={editing} />;
    case 'measured':
      return editing === null ? null : <LiveMeasured span={span} editing={editing} />;
    case 'name':
      if (editing === null) return <span className="term">{span.value}</span>;
      return <LiveName span={span} editing={editing} />;
    case 'plane':
      return editing === null ? <PlainPlane span={span} /> : <LivePlane span={span} editing={editing} />;
  }
}

type NumberSpan = Extract<Span, { s: 'number' }>;
type ChoiceSpan = Extract<Span, { s: 'choice' }>;

function PlainNumber({ span }: { span: NumberSpan }) {
  const { measure } = useReader();
  const shown = showSetting(span.value, span.unit, span.digits, measure);
  return <span className="quantity chosen">{`${shown.number}${shown.unit}`}</span>;
}

function PlainChoice({ span }: { span: ChoiceSpan }) {
  return <span className="chosen">{span.options.find((option) => option.value === span.value)?.label ?? ''}</span>;
}

function LiveNumber({ span, editing }: { span: NumberSpan; editing: Editing }) {
  const { measure } = useReader();
  const now = editing.valueAt(span.path);
  const problem = editing.problemAt(span.path);
  return (
    <NumberField
      {...span}
      value={typeof now === 'number' ? now : span.value}
      measure={measure}
      follows={followsWords(span.follows)}
      problem={problem === undefined ? null : `${problem.detail} ${problem.tryThis}`}
      onSet={(value) => editing.set(span.path, value, span.follows)}
    />
  );
}

function LiveChoice({ span, editing }: { span: ChoiceSpan; editing: Editing }) {
  const { workshop } = useReader();
  const machines = (editing.valueAt('machines') ?? []) as readonly Machine[];
  const now = JSON.stringify(editing.valueAt(span.path) ?? null);
  // The sentence that adds a machine shows that there is no other, not those there are.
  const stands = span.path === 'machines' ? span : standingChoice(span, now);
  const choice = withWorkshop(stands, workshop, machines);
  const problem = editing.problemAt(span.path);
  return (
    <ChoiceField
      path={span.path}
      label={span.label}
      value={choice.value}
      options={choice.options}
      follows={followsWords(span.follows)}
      problem={problem === undefined ? null : `${problem.detail} ${problem.tryThis}`}
      onSet={(value) => {
        const change = choice.set(value);
        editing.set(change.path, change.value, span.follows);
      }}
    />
  );
}

/** The choice as the build has it now, which may be newer than the text. */
function standingChoice(span: ChoiceSpan, now: string): ChoiceSpan {
  if (span.options.some((option) => option.value === now)) return { ...span, value: now };
  const record = JSON.parse(now) as Partial<Machine> | null;
  if (typeof record?.name !== 'string') return span;
  const label = record.bedMm === undefined ? record.name : machineLabel(record as Machine);
  return { ...span, value: now, options: [...span.options, { value: now, label }] };
}
