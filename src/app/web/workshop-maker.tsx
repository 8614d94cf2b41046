// The maker's own hours and rates.
import { MAKER_SOURCES, ordinaryMaker } from '../../workshop/facts/workshop.ts';
import { CURRENCIES } from '../../workshop/process/currencies.ts';
import { MAKER_RANGES } from '../../workshop/process/workshop-ranges.ts';
import type { Workshop } from '../api/workshop.ts';
import { ChoiceField } from './choice-field.tsx';
import { type Measure, showNumber } from './format.ts';
import type { LiveWorkshop } from './workshop-live.ts';
import { sayMoney } from './workshop-money.ts';
import { MoneyField } from './workshop-money-field.tsx';
import { RecordNumber } from './workshop-number.tsx';

const DAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'];
const USUAL = ordinaryMaker();

export function MakerView(props: {
  readonly workshop: Workshop;
  readonly live: LiveWorkshop;
  readonly measure: Measure;
  readonly currency: string;
  readonly setCurrency: (code: string) => void;
}) {
  const { workshop, live, measure, currency, setCurrency } = props;
  const { maker } = workshop;
  const at = (path: string) => ({ kind: 'maker', id: '', path }) as const;
  const hour = (field: 'awakeFromH' | 'awakeToH', label: string) => (
    <RecordNumber
      live={live}
      measure={measure}
      place={at(field)}
      value={maker[field]}
      label={label}
      unit="count"
      digits={0}
      step={1}
      range={MAKER_RANGES.hour}
      usual={USUAL[field]}
      source={MAKER_SOURCES.hour}
    />
  );
  const money = (field: 'hourlyRate' | 'energyPerKwh', label: string, says: string) => (
    <MoneyField
      label={label}
      value={maker[field]}
      currency={currency}
      says={[says]}
      problem={live.problemAt(at(field))}
      onSet={(value) => live.set({ ...at(field), value, label, say: sayMoney })}
    />
  );
  const week = maker.handsOnHours.reduce((sum, hours) => sum + hours, 0);
  return (
    <div className="workshop-maker">
      <p>
        Hands-on work is done for{' '}
        {DAYS.map((day, index) => (
          <span key={day} className="workshop-day">
            {index > 0 && (index === DAYS.length - 1 ? ' and ' : ', ')}
            <RecordNumber
              live={live}
              measure={measure}
              place={at(`handsOnHours.${index}`)}
              value={maker.handsOnHours[index] ?? 0}
              label={`Hours of hands-on work, ${day}`}
              unit="count"
              digits={0}
              step={0.5}
              range={MAKER_RANGES.handsOnH}
              usual={USUAL.handsOnHours[index] ?? null}
              source={MAKER_SOURCES.handsOnH}
            />
            {'\u00a0'}h on {day}
          </span>
        ))}
        : {showNumber(week, Number.isInteger(week) ? 0 : 1)} hours a week. A print that ends can be taken off and the
        next one begun between {hour('awakeFromH', 'Hour from which prints are changed over')} and{' '}
        {hour('awakeToH', 'Hour until which prints are changed over')} o’clock.
        {maker.awakeToH <= maker.awakeFromH && (
          <span className="workshop-says"> That is never: the second hour is not after the first.</span>
        )}
      </p>
      <p>
        An hour of hands-on work is charged at{' '}
        {money('hourlyRate', 'An hour of hands-on work', 'What you charge, not what you earn.')}; a kilowatt-hour costs{' '}
        {money('energyPerKwh', 'A kilowatt-hour', 'It stands on your bill.')}. Amounts in this workshop are in{' '}
        <ChoiceField
          label="Currency"
          value={currency}
          options={currencyOptions(currency)}
          follows="Amounts keep their numbers; nothing is converted."
          problem={null}
          onSet={setCurrency}
        />
        .
      </p>
      <p className="workshop-says">
        No chapter reads hours, rates or prices yet: Bench will plan by the hours, and Money will count with the rates
        and prices.
      </p>
    </div>
  );
}

function currencyOptions(current: string): readonly { value: string; label: string }[] {
  const known = CURRENCIES.map(({ code, name }) => ({ value: code, label: `${name} (${code})` }));
  return known.some(({ value }) => value === current) ? known : [{ value: current, label: current }, ...known];
}
