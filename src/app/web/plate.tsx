// The plate: the large figure beside the text, which follows the chapter being read, with its caption.
import { useEffect, useRef, useState } from 'react';
import type { Drawings } from '../../workshop/book/book-text.ts';
import { decodeFigure, type FigureData } from '../api/figure-codec.ts';
import { ChoiceField } from './choice-field.tsx';
import { DrawingLines } from './drawing-lines.tsx';
import type { Figure } from './figure.ts';
import { figureWords, plateCaption } from './figure-words.ts';
import type { Measure } from './format.ts';
import { NumberField } from './number-field.tsx';
import { fetchFigure } from './server-calls.ts';

export interface PlateProps {
  readonly id: string;
  readonly figureTurn: number;
  readonly drawings: Drawings;
  readonly chapter: string;
  readonly held: string | null;
  /** The figure is from before the last change. */
  readonly stale: boolean;
  readonly measure: Measure;
  readonly onPieces: (ids: readonly string[]) => void;
}

const STAYS = [
  { value: 'follow', label: 'the chapter being read' },
  { value: 'model', label: 'the model whole' },
  { value: 'pieces', label: 'the pieces apart' },
  { value: 'printing', label: 'the pieces as they lie' },
];

export function Plate(props: PlateProps) {
  const { drawings, chapter, held, measure, onPieces } = props;
  const [apartPercent, setApartPercent] = useState(60);
  const [stays, setStays] = useState('follow');
  const data = useFigureData(props.id, props.figureTurn);
  const shows = stays === 'follow' ? chapter : stays;
  const room = useRef<HTMLDivElement>(null);
  const failed = useFigure(room, data, { shows, apart: apartPercent / 100, held });
  useEffect(() => onPieces(data === null ? [] : data.parts.map((part) => part.id)), [data, onPieces]);
  const drawing = drawings.apart ?? drawings.whole;
  return (
    <aside className="plate" aria-label="Figure">
      <figure>
        {failed && drawing !== undefined ? (
          <DrawingLines className="plate-room" svg={drawing} />
        ) : (
          <div className="plate-room" ref={room} />
        )}
        <figcaption hidden={data === null}>
          {data !== null && <span>{plateCaption(shows, data)} </span>}
          {data !== null && props.stale && <b className="standing">From before the change. </b>}
          {data !== null &&
            data.parts.length > 1 &&
            shows !== 'printing' &&
            shows !== 'model' &&
            shows !== 'wearer' && (
              <span>
                They stand{' '}
                <NumberField
                  label="Pieces apart"
                  value={apartPercent}
                  unit="percent"
                  digits={0}
                  min={0}
                  max={150}
                  step={10}
                  usual={60}
                  measure="mm"
                  follows="Only the figure changes."
                  problem={null}
                  onSet={setApartPercent}
                  eager
                />{' '}
                of their way apart.{' '}
              </span>
            )}
          {data !== null && (
            <span className="plate-stays">
              The figure shows{' '}
              <ChoiceField
                label="What the figure shows"
                value={stays}
                options={data.parts.length > 1 ? STAYS : STAYS.slice(0, 2)}
                follows={null}
                problem={null}
                onSet={setStays}
              />
              ; drag it, or use the arrow keys, to turn it.
            </span>
          )}
          {data !== null && <span className="unseen">{figureWords(data, measure)}</span>}
        </figcaption>
      </figure>
    </aside>
  );
}

/** Fetches the figure whenever its turn rises; keeps the old one until the new one is there. */
function useFigureData(id: string, turn: number): FigureData | null {
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

interface Showing {
  readonly shows: string;
  readonly apart: number;
  readonly held: string | null;
}

/** Mounts the figure when its code and data are there. Returns true when the browser cannot draw it. */
function useFigure(room: React.RefObject<HTMLDivElement | null>, data: FigureData | null, showing: Showing): boolean {
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
