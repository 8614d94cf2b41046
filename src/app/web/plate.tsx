// The plate: the large figure beside the text, which follows the chapter being read, with its caption.
import { useEffect, useRef, useState } from 'react';
import type { Drawings } from '../../workshop/book/book-text.ts';
import { DrawingLines } from './drawing-lines.tsx';
import type { Measure } from './format.ts';
import { PickingWords } from './picking-words.tsx';
import { choicesOf, FOLLOW, PlateCaption } from './plate-caption.tsx';
import type { Point } from './reader.ts';
import { useFigure, useFigureData, useMarks } from './use-figure.ts';
import type { PickingState } from './use-picking.ts';

export interface PlateProps {
  /** The right page, or a sheet over a narrow window while places are picked. */
  readonly kind: 'page' | 'sheet';
  readonly picking: PickingState;
  /** The places that lie level by the maker's word, file space, mm. */
  readonly level: readonly Point[] | null;
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

export function Plate(props: PlateProps) {
  const { drawings, chapter, held, onPieces, picking } = props;
  const [apartPercent, setApartPercent] = useState(60);
  const [wanted, setStays] = useState(FOLLOW.value);
  const data = useFigureData(props.id, props.figureTurn);
  const choices = data === null ? [FOLLOW] : choicesOf(data);
  const stays = choices.some(({ value }) => value === wanted) ? wanted : FOLLOW.value;
  const isPicking = picking.now !== null;
  const followed = stays === FOLLOW.value ? chapter : stays;
  const shows = isPicking && followed !== 'as-read' ? 'model' : followed;
  const room = useRef<HTMLDivElement>(null);
  const marks = useMarks(data, { shows, picked: picking.now?.points ?? null, level: props.level });
  const failed = useFigure(room, data, { shows, apart: apartPercent / 100, held, marks, picking });
  useEffect(() => onPieces(data === null ? [] : data.parts.map((part) => part.id)), [data, onPieces]);
  const drawing = drawings.apart ?? drawings.whole ?? drawings['as-read'];
  return (
    <aside className={props.kind === 'sheet' ? 'plate plate-sheet' : 'plate'} aria-label="Figure">
      <figure>
        {failed && drawing !== undefined ? (
          <DrawingLines className="plate-room" svg={drawing} />
        ) : (
          <div className={isPicking ? 'plate-room plate-picking' : 'plate-room'} ref={room} />
        )}
        <figcaption hidden={data === null}>
          {isPicking ? (
            <PickingWords picking={picking} keys={props.kind === 'page' ? 'with keys' : 'without keys'} />
          ) : (
            data !== null && (
              <PlateCaption
                data={data}
                shows={shows}
                stale={props.stale}
                measure={props.measure}
                stays={{ value: stays, options: choices, set: setStays }}
                apart={{ percent: apartPercent, set: setApartPercent }}
              />
            )
          )}
        </figcaption>
      </figure>
    </aside>
  );
}
