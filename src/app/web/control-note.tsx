// The small note under a number or a choice: its range, what is usual, what follows when it changes.
import { type RefObject, useCallback, useEffect } from 'react';

export interface ControlNoteProps {
  readonly id: string;
  readonly label: string;
  readonly says: readonly string[];
  /** Shown instead, at once, when something is wrong. */
  readonly trouble: string | null;
}

export function ControlNote({ id, label, says, trouble }: ControlNoteProps) {
  return (
    <span
      className={trouble === null ? 'note' : 'note note-trouble'}
      id={id}
      role={trouble === null ? undefined : 'alert'}
    >
      <b>{label}</b>
      {trouble === null ? says.map((say) => <span key={say}>{say}</span>) : <span>{trouble}</span>}
    </span>
  );
}

/** "Pieces and Printing follow." */
export function followsWords(follows: readonly string[]): string {
  if (follows.length === 0) return 'Nothing has to be computed again.';
  const names = follows.map((name) => `${name[0]?.toUpperCase() ?? ''}${name.slice(1)}`);
  const last = names.at(-1)!;
  if (names.length === 1) return `${last} follows.`;
  return `${names.slice(0, -1).join(', ')} and ${last} follow.`;
}

const NOTE_WIDTH_PX = 264;
const EDGE_PX = 12;

/** Keeps the note inside the window: called when it is about to be seen, and when the window changes while it is. */
export function useNotePlace(holder: RefObject<HTMLElement | null>): () => void {
  const place = useCallback(() => {
    const element = holder.current;
    if (element === null) return;
    const { left } = element.getBoundingClientRect();
    const room = document.documentElement.clientWidth - EDGE_PX - NOTE_WIDTH_PX;
    element.style.setProperty('--note-shift', `${Math.round(Math.min(0, room - left))}px`);
  }, [holder]);
  useEffect(() => {
    const again = (): void => {
      if (holder.current?.matches(':focus-within, :hover') === true) place();
    };
    window.addEventListener('resize', again);
    return () => window.removeEventListener('resize', again);
  }, [holder, place]);
  return place;
}
