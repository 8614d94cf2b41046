// "Read this beside that": a sentence with two choices among the books on the shelf.
import { useState } from 'react';
import type { BuildCard } from '../api/api.ts';
import { ChoiceField } from './choice-field.tsx';
import { besidePath } from './house-calls.ts';
import { dayAndHourWords } from './house-days.ts';

/** Begins with the two that are named; else with the two of one model that changed last, else with the two newest. Needs two cards
 *  at least. */
export function BesideChoice(props: {
  readonly cards: readonly BuildCard[];
  readonly left?: string;
  readonly right?: string;
}) {
  const { cards } = props;
  const [wanted, setWanted] = useState<{ left?: string | undefined; right?: string | undefined }>(props);
  const [first, second] = pairOf(cards);
  if (first === undefined || second === undefined) return null;
  const here = (id: string | undefined): string | undefined => cards.find((card) => card.id === id)?.id;
  const left = here(wanted.left) ?? first.id;
  const right = here(wanted.right) ?? (left === second.id ? first.id : second.id);
  const options = optionsOf(cards);
  return (
    <p className="beside-choice">
      Read{' '}
      <ChoiceField
        label="Book on the left"
        value={left}
        options={options}
        follows={null}
        problem={null}
        onSet={(id) => setWanted({ ...wanted, left: id })}
      />{' '}
      and{' '}
      <ChoiceField
        label="Book on the right"
        value={right}
        options={options}
        follows={null}
        problem={null}
        onSet={(id) => setWanted({ ...wanted, right: id })}
      />{' '}
      {left === right ? (
        <span className="quiet">side by side; choose two different ones.</span>
      ) : (
        <>
          <a href={besidePath(left, right)}>side by side</a>.
        </>
      )}
    </p>
  );
}

function pairOf(cards: readonly BuildCard[]): readonly BuildCard[] {
  for (const [index, card] of cards.entries()) {
    const other = cards.slice(index + 1).find(({ file }) => file === card.file);
    if (other !== undefined) return [card, other];
  }
  return cards.slice(0, 2);
}

/** Two books may share a title: then the day tells them apart. */
export function optionsOf(cards: readonly BuildCard[]): readonly { value: string; label: string }[] {
  const now = new Date();
  const count = new Map<string, number>();
  for (const { title } of cards) count.set(title, (count.get(title) ?? 0) + 1);
  return cards.map(({ id, title, changedAt }) => ({
    value: id,
    label: count.get(title) === 1 ? title : `${title} (${dayAndHourWords(changedAt, now)})`,
  }));
}
