// One material of the workshop, as one sentence.
import { ABS, ASA, PETG, PLA } from '../../workshop/facts/materials.ts';
import { MATERIAL_SOURCES } from '../../workshop/facts/workshop.ts';
import { MATERIAL_RANGES } from '../../workshop/process/workshop-ranges.ts';
import type { Workshop } from '../api/workshop.ts';
import type { Measure } from './format.ts';
import type { LiveWorkshop } from './workshop-live.ts';
import { sayMoney } from './workshop-money.ts';
import { MoneyField } from './workshop-money-field.tsx';
import { NameField } from './workshop-name-field.tsx';
import { RecordNumber } from './workshop-number.tsx';
import { RemoveLine } from './workshop-remove.tsx';

type Material = Workshop['materials'][number];
type Field = keyof typeof MATERIAL_RANGES;

const ORDINARY = [PLA, PETG, ABS, ASA];

export function MaterialView(props: {
  readonly material: Material;
  readonly live: LiveWorkshop;
  readonly measure: Measure;
  readonly currency: string;
}) {
  const { material, live, measure, currency } = props;
  const { id, name } = material;
  const at = (path: string) => ({ kind: 'material', id, path }) as const;
  const number = (field: Field, words: string, look: { unit: 'mm' | 'g' | 'count'; digits: number; step: number }) => (
    <RecordNumber
      live={live}
      measure={measure}
      place={at(field)}
      value={material[field]}
      label={`${words}, ${name}`}
      range={MATERIAL_RANGES[field]}
      usual={ORDINARY.find((each) => each.id === id)?.[field] ?? null}
      source={MATERIAL_SOURCES[field]}
      {...look}
    />
  );
  return (
    <section className="workshop-record workshop-material" id={id} aria-labelledby={`${id}-name`}>
      <h3 className="unseen" id={`${id}-name`}>
        {name}
      </h3>
      <p>
        <span className="workshop-material-name">
          <NameField
            label="Name of this material"
            value={name}
            problem={live.problemAt(at('name'))}
            onSet={(value) => live.set({ ...at('name'), value, label: 'Name', say: (of) => `“${String(of)}”` })}
          />
        </span>{' '}
        weighs {number('densityGCm3', 'Density in g/cm³', { unit: 'count', digits: 2, step: 0.01 })}
        {'\u00a0'}g/cm³ and comes as a filament of{' '}
        {number('filamentMm', 'Diameter of the filament', { unit: 'mm', digits: 2, step: 0.05 })} in packs of{' '}
        {number('packG', 'Filament in a pack', { unit: 'g', digits: 0, step: 50 })}. A pack costs{' '}
        <MoneyField
          label={`Price of a pack, ${name}`}
          value={material.packPrice}
          currency={currency}
          says={['Money will count grams with it.']}
          problem={live.problemAt(at('packPrice'))}
          onSet={(value) => live.set({ ...at('packPrice'), value, label: `Pack of ${name}`, say: sayMoney })}
        />
        .
      </p>
      <RemoveLine
        name={name}
        what="material"
        says="Books that use it keep their own copy."
        remove={() => live.remove('material', id)}
      />
    </section>
  );
}
