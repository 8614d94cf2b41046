// The figure in React: fetched when it has changed, mounted when its code is there, told what to show.
import { useEffect, useMemo, useRef, useState } from 'react';
import { applyTransform, invertTransform } from '../../mesh/transform.ts';
import { decodeFigure, type FigureData } from '../api/figure-codec.ts';
import type { Figure, ShownMark } from './figure.ts';
import type { Point } from './reader.ts';
import { fetchFigure } from './server-calls.ts';
import type { PickingState } from './use-picking.ts';

/** Fetches the figure whenever its turn rises; keeps the old one until the new one is there. */
export function useFigureData(id: string, turn: number): FigureData | null {
  const [data, setData] = useState<FigureData | null>(null);
  useEffect(() => {
    if (turn === 0) return;
    let wanted = true;
    void fetchFigure(id).then((answer) => {
      if (wanted && answer.ok && answer.value.byteLength > 0) setData(decodeFigure(answer.value));
    });
    return () => {
      wanted = false;
    };
  }, [id, turn]);
  return data;
}

interface Marking {
  readonly shows: string;
  /** File space, mm; null when none are being picked. */
  readonly picked: readonly Point[] | null;
  readonly level: readonly Point[] | null;
}

const NO_MARKS: readonly ShownMark[] = [];

/** While picking the places so far; at the model as it came what was mended; at the model the places that were picked before. */
export function useMarks(data: FigureData | null, { shows, picked, level }: Marking): readonly ShownMark[] {
  return useMemo(() => {
    if (data === null) return NO_MARKS;
    const points = picked ?? (shows === 'model' ? level : null);
    if (points === null) {
      if (shows !== 'as-read' || data.asRead === null) return NO_MARKS;
      return data.asRead.marks.map(({ number, name, atMm }) => ({ id: String(number), name, at: atMm, tone: 'so' }));
    }
    if (data.toFile === null) return NO_MARKS;
    const toFigure = invertTransform(data.toFile);
    return points.map((point, index) => ({
      id: String(index + 1),
      name: '',
      at: applyTransform(toFigure, point),
      tone: 'yours',
    }));
  }, [data, shows, picked, level]);
}

/** Of the longest side: a click that was made twice is no second place. */
const LEAST_APART = 0.02;

interface Showing {
  readonly shows: string;
  readonly apart: number;
  readonly held: string | null;
  readonly marks: readonly ShownMark[];
  readonly picking: PickingState;
}

/** Mounts the figure when its code and data are there. Returns true when the browser cannot draw it. */
export function useFigure(
  room: React.RefObject<HTMLDivElement | null>,
  data: FigureData | null,
  showing: Showing,
): boolean {
  const [figure, setFigure] = useState<Figure | null>(null);
  const [failed, setFailed] = useState(false);
  const latest = useRef(showing);
  latest.current = showing;
  useEffect(() => {
    if (data === null || room.current === null) return;
    const element = room.current;
    let mounted: Figure | null = null;
    let wanted = true;
    import('./figure.ts')
      .then(({ mountFigure }) => {
        if (!wanted) return;
        const { shows: chapter, apart } = latest.current;
        mounted = mountFigure(element, data, { theme: themeNow(), chapter, apart });
        setFigure(mounted);
      })
      .catch(() => setFailed(true));
    return () => {
      wanted = false;
      setFigure(null);
      mounted?.dispose();
    };
  }, [room, data]);
  useEffect(() => figure?.setChapter(showing.shows), [figure, showing.shows]);
  useEffect(() => figure?.setApart(showing.apart), [figure, showing.apart]);
  useEffect(() => figure?.hold(showing.held), [figure, showing.held]);
  useEffect(() => figure?.setMarks(showing.marks), [figure, showing.marks]);
  const isPicking = showing.picking.now !== null;
  const { add } = showing.picking;
  useEffect(() => {
    const toFile = data?.toFile ?? null;
    if (figure === null || !isPicking || toFile === null) return;
    const leastApartMm = LEAST_APART * Math.max(...data!.sizeMm) * Math.hypot(toFile[0]!, toFile[1]!, toFile[2]!);
    figure.point((at) => add(applyTransform(toFile, at), leastApartMm));
    room.current?.focus({ preventScroll: true });
    return () => figure.point(null);
  }, [room, figure, data, isPicking, add]);
  useEffect(() => {
    if (figure === null) return;
    const look = (): void => figure.setTheme(themeNow());
    const dark = matchMedia('(prefers-color-scheme: dark)');
    const paper = new MutationObserver(look);
    paper.observe(document.documentElement, { attributes: true, attributeFilter: ['data-paper'] });
    dark.addEventListener('change', look);
    return () => {
      paper.disconnect();
      dark.removeEventListener('change', look);
    };
  }, [figure]);
  return failed;
}

function themeNow(): 'light' | 'dark' {
  const { paper } = document.documentElement.dataset;
  if (paper === 'light' || paper === 'dark') return paper;
  return matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light';
}
