// The cards of all builds, kept in step with the server.
import { useCallback, useEffect, useRef, useState } from 'react';
import type { BuildCard, HouseEvent, Problem } from '../api/api.ts';
import { listBuilds } from './house-calls.ts';
import { removeBuild } from './server-calls.ts';
import { useEvents } from './use-events.ts';

export interface LiveShelf {
  /** Newest change first; null until the first answer. */
  readonly cards: readonly BuildCard[] | null;
  readonly problem: Problem | null;
  readonly lost: boolean;
  /** Resolves to why it could not be deleted, or null. */
  readonly remove: (id: string) => Promise<Problem | null>;
}

export function useShelf(): LiveShelf {
  const [cards, setCards] = useState<readonly BuildCard[] | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  // An answer that was asked for before an event may be older than it.
  const asked = useRef(0);
  const waiting = useRef(false);
  const refresh = useCallback(() => {
    asked.current += 1;
    const mine = asked.current;
    waiting.current = true;
    void listBuilds().then((answer) => {
      if (mine !== asked.current) return;
      waiting.current = false;
      if (answer.ok) setCards(answer.value);
      setProblem(answer.ok ? null : answer.problem);
    });
  }, []);
  useEffect(() => {
    document.title = 'Shelf – Helmwright';
    refresh();
  }, [refresh]);
  const lost = useEvents('/api/events', ['shelf'], {
    open: refresh,
    event: (_name, data) => {
      const card = data as Extract<HouseEvent, { event: 'shelf' }>['data'];
      if (card === null || waiting.current) refresh();
      else setCards((old) => (old === null ? old : withCard(old, card)));
    },
  });
  const remove = useCallback(
    async (id: string): Promise<Problem | null> => {
      const answer = await removeBuild(id);
      if (!answer.ok && answer.problem.status !== 404) return answer.problem;
      setCards((old) => old?.filter((card) => card.id !== id) ?? null);
      if (waiting.current) refresh();
      return null;
    },
    [refresh],
  );
  return { cards, problem, lost, remove };
}

/** In its place by the time of its last change. */
export function withCard(cards: readonly BuildCard[], card: BuildCard): readonly BuildCard[] {
  return [card, ...cards.filter(({ id }) => id !== card.id)].sort((a, b) => b.changedAt.localeCompare(a.changedAt));
}

/** Every word of `typed` stands somewhere in the card; case and accents do not count. */
export function cardsFound(cards: readonly BuildCard[], typed: string): readonly BuildCard[] {
  const words = plain(typed).split(/\s+/).filter(Boolean);
  if (words.length === 0) return cards;
  return cards.filter(({ title, file, says, state, next }) => {
    const text = plain([title, file, says, state, next?.asks ?? ''].join(' '));
    return words.every((word) => text.includes(word));
  });
}

function plain(text: string): string {
  return text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
}
