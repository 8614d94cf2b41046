// How the reader wants the book set: one sentence with two choices.
import { ChoiceField } from './choice-field.tsx';
import type { Preferences } from './preferences.ts';

const MEASURES = [
  { value: 'mm', label: 'millimetres' },
  { value: 'inch', label: 'inches' },
];
const PAPERS = [
  { value: 'system', label: 'paper or slate as the system has it' },
  { value: 'light', label: 'light paper' },
  { value: 'dark', label: 'dark slate' },
];

export function ReaderLine(props: {
  readonly preferences: Preferences;
  readonly change: (wanted: Partial<Preferences>) => void;
  readonly measures: 'with measures' | 'without measures';
}) {
  const { preferences, change, measures } = props;
  return (
    <p className="reader-line">
      {measures === 'with measures' ? 'Measures in ' : 'Pages on '}
      {measures === 'with measures' && (
        <ChoiceField
          label="Measure"
          value={preferences.measure}
          options={MEASURES}
          follows={null}
          problem={null}
          onSet={(value) => change({ measure: value === 'inch' ? 'inch' : 'mm' })}
        />
      )}
      {measures === 'with measures' && ', pages on '}
      <ChoiceField
        label="Paper"
        value={preferences.paper}
        options={PAPERS}
        follows={null}
        problem={null}
        onSet={(value) => change({ paper: value === 'light' || value === 'dark' ? value : 'system' })}
      />
      .
    </p>
  );
}
