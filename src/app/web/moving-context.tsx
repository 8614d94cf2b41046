// Moving a seam redraws what tells of it, not the whole page: its state lives here, and only those who ask hear of it.
import { createContext, type ReactNode, useContext, useEffect } from 'react';
import type { FigureOutside } from '../api/figure-codec.ts';
import type { Editing, Moving } from './reader.ts';
import { useMoving } from './use-moving.ts';

const MovingContext = createContext<Moving | null>(null);

/** Null where nothing can be moved. */
export function useMovingSeam(): Moving | null {
  return useContext(MovingContext);
}

/** `heard`: whether the figure's data are wanted for it, and whether a seam is in hand. */
export function MovingSeams(props: {
  readonly editing: Editing;
  readonly outside: FigureOutside | null;
  readonly heard: (state: { readonly isPrepared: boolean; readonly isDragged: boolean }) => void;
  readonly children: ReactNode;
}) {
  const { editing, outside, heard, children } = props;
  const moving = useMoving(editing, outside);
  const { isPrepared } = moving;
  const isDragged = moving.now?.isDragged === true;
  useEffect(() => heard({ isPrepared, isDragged }), [heard, isPrepared, isDragged]);
  return <MovingContext value={moving}>{children}</MovingContext>;
}
