// Another machine or material, begun as a copy of an ordinary one or of one that is there.
import { useState } from 'react';
import { ordinaryMachine } from '../../workshop/facts/machines.ts';
import { PLA } from '../../workshop/facts/materials.ts';
import type { Workshop } from '../api/workshop.ts';
import { ChoiceField } from './choice-field.tsx';
import type { LiveWorkshop } from './workshop-live.ts';

interface AddProps {
  readonly workshop: Workshop;
  readonly live: LiveWorkshop;
  /** Hears the new one's id, null when it could not be added. */
  readonly onAdded: (id: string | null) => void;
}

const ORDINARY_BEDS = [
  [180, 180, 180],
  [220, 220, 250],
  [300, 300, 400],
] as const;

export function AddMachine({ workshop, live, onAdded }: AddProps) {
  const [like, setLike] = useState('220x220x250');
  const patterns = [
    ...ORDINARY_BEDS.map((bed) => ({
      value: bed.join('x'),
      label: `an ordinary one of ${bed.join(' × ')} mm`,
      machine: ordinaryMachine(bed),
    })),
    ...workshop.machines.map((machine) => ({ value: `id:${machine.id}`, label: machine.name, machine })),
  ];
  const pattern = patterns.find(({ value }) => value === like) ?? patterns[0]!;
  const add = (): void => {
    const { id: _id, revision: _revision, ...rest } = pattern.machine;
    void live.add('machine', { ...rest, name: freeName(rest.name, workshop.machines) }).then(onAdded);
  };
  return (
    <p className="workshop-add">
      Another machine like{' '}
      <ChoiceField
        label="The new machine begins as"
        value={pattern.value}
        options={patterns}
        follows={null}
        problem={null}
        onSet={setLike}
      />
      :{' '}
      <button type="button" className="word" onClick={add}>
        add this machine
      </button>
      .
    </p>
  );
}

export function AddMaterial({ workshop, live, onAdded }: AddProps) {
  const [like, setLike] = useState('');
  const pattern = workshop.materials.find(({ id }) => id === like) ?? workshop.materials[0] ?? PLA;
  const add = (): void => {
    const { id: _id, revision: _revision, ...rest } = pattern;
    void live.add('material', { ...rest, name: freeName(rest.name, workshop.materials) }).then(onAdded);
  };
  return (
    <p className="workshop-add">
      Another material like{' '}
      <ChoiceField
        label="The new material begins as"
        value={pattern.id}
        options={(workshop.materials.length === 0 ? [PLA] : workshop.materials).map(({ id, name }) => ({
          value: id,
          label: name,
        }))}
        follows={null}
        problem={null}
        onSet={setLike}
      />
      :{' '}
      <button type="button" className="word" onClick={add}>
        add this material
      </button>
      .
    </p>
  );
}

const LONGEST_NAME = 60;

/** "PLA 2" when there is a PLA. */
function freeName(name: string, others: readonly { readonly name: string }[]): string {
  const taken = new Set(others.map((each) => each.name));
  if (!taken.has(name)) return name;
  const stem = name.replace(/ \d+$/, '').slice(0, LONGEST_NAME - 4);
  let number = 2;
  while (taken.has(`${stem} ${number}`)) number++;
  return `${stem} ${number}`;
}
