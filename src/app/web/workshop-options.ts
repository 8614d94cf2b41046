// What the workshop offers where the text lets the maker choose a machine or a material: another one, one more, one fewer.
import type { Span } from '../../workshop/book/book-text.ts';
import { machineLabel } from '../../workshop/book/machine-words.ts';
import type { Machine } from '../../workshop/process/machine.ts';
import type { Material } from '../../workshop/process/material.ts';
import type { Workshop } from '../api/workshop.ts';

type ChoiceSpan = Extract<Span, { s: 'choice' }>;

/** A choice and what each of its options sets: a value at a path of the build. */
export interface ShownChoice {
  readonly value: string;
  readonly options: readonly { readonly value: string; readonly label: string }[];
  set(value: string): { readonly path: string; readonly value: unknown };
}

const AWAY = 'away';

/** The span as it is, when the workshop has nothing to add. `machines`: as the build has them now. */
export function withWorkshop(span: ChoiceSpan, workshop: Workshop | null, machines: readonly Machine[]): ShownChoice {
  if (workshop !== null) {
    if (span.path === 'material')
      return among(
        span,
        workshop.materials.map((record) => ({ id: record.id, label: record.name, record })),
      );
    if (span.path === 'machines') return oneMore(span, workshop, machines);
    const index = /^machines\.(\d+)$/.exec(span.path)?.[1];
    if (index !== undefined) return another(span, workshop, { machines, index: Number(index) });
  }
  return {
    value: span.value,
    options: span.options,
    set: (value) => ({ path: span.path, value: JSON.parse(value) as unknown }),
  };
}

/** The one that stands keeps its own numbers; of the others the workshop's are taken. `taken`: ids that stand elsewhere. */
function among(
  span: ChoiceSpan,
  records: readonly { readonly id: string; readonly label: string; readonly record: Machine | Material }[],
  taken: readonly string[] = [],
): ShownChoice {
  const now = JSON.parse(span.value) as { readonly id?: string };
  const others = records.filter(({ id }) => id !== now.id && !taken.includes(id));
  const standing = span.options.filter(({ value }) => value === span.value);
  return {
    value: span.value,
    options: [...standing, ...others.map(({ record, label }) => ({ value: JSON.stringify(record), label }))],
    set: (value) => ({ path: span.path, value: JSON.parse(value) as unknown }),
  };
}

function another(
  span: ChoiceSpan,
  workshop: Workshop,
  { machines, index }: { readonly machines: readonly Machine[]; readonly index: number },
): ShownChoice {
  const fewer = machines.filter((_, each) => each !== index);
  const choice = among(
    span,
    workshop.machines.map((record) => ({ id: record.id, label: machineLabel(record), record })),
    fewer.map(({ id }) => id),
  );
  if (fewer.length === 0) return choice;
  return {
    ...choice,
    options: [...choice.options, { value: AWAY, label: 'none: take this one away' }],
    set: (value) => (value === AWAY ? { path: 'machines', value: fewer } : choice.set(value)),
  };
}

/** The span says that there is no other; its options add one. */
function oneMore(span: ChoiceSpan, { machines: known }: Workshop, machines: readonly Machine[]): ShownChoice {
  return {
    value: span.value,
    options: [
      ...span.options.filter(({ value }) => value === span.value),
      ...known.map((machine) => ({ value: machine.id, label: machineLabel(machine) })),
    ],
    set: (value) => {
      const added = known.find(({ id }) => id === value);
      return { path: 'machines', value: added === undefined ? machines : [...machines, distinct(added, machines)] };
    },
  };
}

/** A second machine of the same kind gets an id and a name of its own. */
function distinct(added: Machine, machines: readonly Machine[]): Machine {
  for (let number = 1; ; number++) {
    const ending = number === 1 ? '' : `-${number}`;
    const id = `${added.id.slice(0, MOST_ID - ending.length)}${ending}`;
    if (machines.every((known) => known.id !== id))
      return number === 1 ? added : { ...added, id, name: `${added.name.slice(0, MOST_NAME - 5)} (${number})` };
  }
}

const MOST_ID = 40;
const MOST_NAME = 60;
