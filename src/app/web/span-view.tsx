// Sets the spans of a sentence: text, terms, quantities, and the maker's numbers and choices.
import type { Span } from '../../workshop/book/book-text.ts';
import { ChoiceField } from './choice-field.tsx';
import { followsWords } from './control-note.tsx';
import { showQuantity, showSetting } from './format.ts';
import { NumberField } from './number-field.tsx';
import { type Editing, useReader } from './reader.ts';

export function Spans({ spans, place = 'sentence' }: { spans: readonly Span[]; place?: 'sentence' | 'table' }) {
  // Spans have no identity but their order, which never changes within a block.
  return spans.map((span, index) => (
    // biome-ignore lint/suspicious/noArrayIndexKey: see above
    <SpanView key={`${index}-${'path' in span ? span.path : span.s}`} span={span} place={place} />
  ));
}

function SpanView({ span, place }: { span: Span; place: 'sentence' | 'table' }) {
  const { measure, editing } = useReader();
  switch (span.s) {
    case 'text':
      return span.text;
    case 'term':
      return <span className="term">{span.text}</span>;
    case 'quantity': {
      const shown = showQuantity(span.value, span.unit, { digits: span.digits, measure, place });
      return <span className="quantity">{`${shown.number}${shown.unit}`}</span>;
    }
    case 'number':
      return editing === null ? <PlainNumber span={span} /> : <LiveNumber span={span} editing={editing} />;
    case 'choice':
      return editing === null ? <PlainChoice span={span} /> : <LiveChoice span={span} editing={editing} />;
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
      onSet={(value) => editing.set(span.path, value)}
    />
  );
}

function LiveChoice({ span, editing }: { span: ChoiceSpan; editing: Editing }) {
  const now = JSON.stringify(editing.valueAt(span.path) ?? null);
  const problem = editing.problemAt(span.path);
  return (
    <ChoiceField
      label={span.label}
      value={span.options.some((option) => option.value === now) ? now : span.value}
      options={span.options}
      follows={followsWords(span.follows)}
      problem={problem === undefined ? null : `${problem.detail} ${problem.tryThis}`}
      onSet={(value) => editing.set(span.path, JSON.parse(value) as unknown)}
    />
  );
}
