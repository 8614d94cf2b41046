// One machine of the workshop: a paragraph of what it is, two tables of how it moves, and taking it out of the workshop.
import type { Unit } from '../../workshop/book/book-text.ts';
import { ordinaryMachine } from '../../workshop/facts/machines.ts';
import { LARGE_BED_POWER_W, MACHINE_SOURCES } from '../../workshop/facts/workshop.ts';
import { MACHINE_RANGES } from '../../workshop/process/workshop-ranges.ts';
import type { Workshop } from '../api/workshop.ts';
import { ChoiceField } from './choice-field.tsx';
import type { Measure } from './format.ts';
import type { LiveWorkshop } from './workshop-live.ts';
import { sayMoney } from './workshop-money.ts';
import { MoneyField } from './workshop-money-field.tsx';
import { NameField } from './workshop-name-field.tsx';
import { RecordNumber } from './workshop-number.tsx';
import { RemoveLine } from './workshop-remove.tsx';

type Machine = Workshop['machines'][number];
type Field = Exclude<keyof typeof MACHINE_RANGES, 'bedSideMm'>;

interface Look {
  readonly field: Field;
  readonly words: string;
  readonly unit: Unit;
  readonly after?: string;
  readonly digits: number;
  readonly step: number;
}

const speed = (field: Field, words: string): Look => ({ field, words, unit: 'mm/s', digits: 0, step: 5 });

const SPEEDS: readonly Look[] = [
  speed('wallSpeedMmS', 'Contour passes'),
  speed('outerWallSpeedMmS', 'Outermost contour pass'),
  speed('infillSpeedMmS', 'Infill'),
  speed('closingSpeedMmS', 'Closing layers'),
  speed('supportSpeedMmS', 'Support'),
  speed('firstLayerSpeedMmS', 'First layer'),
  speed('travelSpeedMmS', 'Travel, printing nothing'),
];

const MOVES: readonly Look[] = [
  { field: 'accelerationMmS2', words: 'Acceleration, printing', unit: 'mm/s2', digits: 0, step: 100 },
  { field: 'travelAccelerationMmS2', words: 'Acceleration, travelling', unit: 'mm/s2', digits: 0, step: 100 },
  { field: 'junctionDeviationMm', words: 'Rounding of corners', unit: 'mm', digits: 2, step: 0.01 },
  { field: 'maxFlowMm3S', words: 'Flow it can melt', unit: 'count', after: 'mm³/s', digits: 0, step: 1 },
  { field: 'shortestLayerS', words: 'Shortest layer, to cool', unit: 'count', after: 's', digits: 0, step: 1 },
  { field: 'retractionS', words: 'Leaving an island', unit: 'count', after: 's', digits: 2, step: 0.05 },
  { field: 'layerChangeS', words: 'Change of layer', unit: 'count', after: 's', digits: 1, step: 0.1 },
  { field: 'startUpS', words: 'Heating and first line', unit: 'count', after: 's', digits: 0, step: 30 },
];

const NOZZLE: Look = { field: 'nozzleMm', words: 'Nozzle', unit: 'mm', digits: 1, step: 0.1 };
const CLEARANCE: Look = {
  field: 'clearanceMm',
  words: 'Clearance of fitting faces',
  unit: 'mm',
  digits: 2,
  step: 0.05,
};
const POWER: Look = { field: 'powerW', words: 'Mean power, watts', unit: 'count', digits: 0, step: 10 };

const SIDES = ['Width', 'Depth', 'Height'] as const;
const NOTHING = 'nothing in particular';
const LARGE_BED_MM = 300;

export interface MachineProps {
  readonly machine: Machine;
  readonly workshop: Workshop;
  readonly live: LiveWorkshop;
  readonly measure: Measure;
  readonly currency: string;
}

export function MachineView({ machine, workshop, live, measure, currency }: MachineProps) {
  const { id, name, bedMm, loaded } = machine;
  const at = (path: string) => ({ kind: 'machine', id, path }) as const;
  const number = (look: Look) => (
    <MachineNumber key={look.field} look={look} machine={machine} live={live} measure={measure} />
  );
  return (
    <section className="workshop-record" id={id} aria-labelledby={`${id}-name`}>
      <h3 className="unseen" id={`${id}-name`}>
        {name}
      </h3>
      <p className="workshop-name">
        <NameField
          label="Name of this machine"
          value={name}
          problem={live.problemAt(at('name'))}
          onSet={(value) => live.set({ ...at('name'), value, label: 'Name', say: (of) => `“${String(of)}”` })}
        />
      </p>
      <p>
        It prints in a space of{' '}
        {SIDES.map((side, index) => (
          <span key={side} className={index < 2 ? 'workshop-bare' : undefined}>
            <RecordNumber
              live={live}
              measure={measure}
              place={at(`bedMm.${index}`)}
              value={bedMm[index]!}
              label={`${side} of the space, ${name}`}
              unit="mm"
              digits={0}
              step={10}
              range={MACHINE_RANGES.bedSideMm}
              usual={null}
              source={MACHINE_SOURCES.bedSideMm}
            />
            {index < 2 && ' × '}
          </span>
        ))}
        , width, depth and height, through a nozzle of {number(NOZZLE)}. Faces of two pieces that shall fit into each
        other are given {number(CLEARANCE)} of air. It usually holds{' '}
        <ChoiceField
          label={`Material it usually holds, ${name}`}
          value={loaded ?? ''}
          options={materialsOf(workshop, loaded)}
          follows={FOLLOWS_LOADED}
          problem={live.problemAt(at('loaded'))}
          onSet={(value) =>
            live.set({
              ...at('loaded'),
              value: value === '' ? null : value,
              label: 'Material it holds',
              say: (of) => materialName(workshop, of as string | null),
            })
          }
        />
        . While it prints it takes {number(POWER)} watts in the mean; it cost{' '}
        <MoneyField
          label={`Price of ${name}`}
          value={machine.price}
          currency={currency}
          says={['What you paid for it. Money will spread it over its hours.']}
          problem={live.problemAt(at('price'))}
          onSet={(value) => live.set({ ...at('price'), value, label: `Price of ${name}`, say: sayMoney })}
        />
        .
      </p>
      <div className="workshop-tables">
        <LookTable caption="Speeds" head="mm/s" looks={SPEEDS} measure={measure} number={number} />
        <LookTable caption="Limits and times" head="" looks={MOVES} measure={measure} number={number} />
      </div>
      <RemoveLine
        name={name}
        what="machine"
        says="Books that use it keep their own copy."
        remove={() => live.remove('machine', id)}
      />
    </section>
  );
}

const FOLLOWS_LOADED = 'Common practice, no source. No book reads it yet; a new one will begin with it.';

function MachineNumber(props: {
  readonly look: Look;
  readonly machine: Machine;
  readonly live: LiveWorkshop;
  readonly measure: Measure;
}) {
  const { look, machine, live, measure } = props;
  const { field, words, unit, after, digits, step } = look;
  return (
    <>
      <RecordNumber
        live={live}
        measure={measure}
        place={{ kind: 'machine', id: machine.id, path: field }}
        value={machine[field]}
        label={`${words}${after === undefined ? '' : ` in ${after}`}, ${machine.name}`}
        unit={unit}
        digits={digits}
        step={step}
        range={MACHINE_RANGES[field]}
        usual={usualOf(machine, field)}
        source={MACHINE_SOURCES[field]}
      />
      {after !== undefined && <span className="number-unit">{`\u00a0${after}`}</span>}
    </>
  );
}

function LookTable(props: {
  readonly caption: string;
  /** The unit that all rows share, '' when they do not. */
  readonly head: string;
  readonly looks: readonly Look[];
  readonly measure: Measure;
  readonly number: (look: Look) => React.ReactNode;
}) {
  const { caption, head, looks, measure, number } = props;
  const unit = head === '' ? '' : measure === 'inch' ? head.replace('mm', 'in') : head;
  return (
    <table className={unit === '' ? 'workshop-looks' : 'workshop-looks workshop-bare'}>
      <thead>
        <tr>
          <th scope="col">{caption}</th>
          <th scope="col" className="end">
            {unit === '' ? <span className="unseen">Value</span> : unit}
          </th>
        </tr>
      </thead>
      <tbody>
        {looks.map((look) => (
          <tr key={look.field}>
            <th scope="row">{look.words}</th>
            <td className="end">{number(look)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Of an ordinary machine of this size. */
function usualOf({ bedMm }: Machine, field: Field): number {
  if (field === 'powerW' && Math.max(bedMm[0], bedMm[1]) >= LARGE_BED_MM) return LARGE_BED_POWER_W;
  return ordinaryMachine(bedMm)[field];
}

function materialsOf(workshop: Workshop, loaded: string | null): readonly { value: string; label: string }[] {
  const known = workshop.materials.map(({ id, name }) => ({ value: id, label: name }));
  const missing =
    loaded === null || known.some(({ value }) => value === loaded)
      ? []
      : [{ value: loaded, label: materialName(workshop, loaded) }];
  return [{ value: '', label: NOTHING }, ...known, ...missing];
}

function materialName({ materials }: Workshop, id: string | null): string {
  if (id === null) return NOTHING;
  return materials.find((each) => each.id === id)?.name ?? `a material that was removed (${id})`;
}
