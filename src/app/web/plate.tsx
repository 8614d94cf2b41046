// The plate: the large figure beside the text, which follows the chapter being read, with its caption.
import { useMemo, useRef, useState } from 'react';
import { applyTransform, invertTransform } from '../../mesh/transform.ts';
import type { Drawings } from '../../workshop/book/book-text.ts';
import type { BuildState } from '../api/api.ts';
import type { FigureData } from '../api/figure-codec.ts';
import { DrawingLines } from './drawing-lines.tsx';
import type { Measure } from './format.ts';
import { useMovingSeam } from './moving-context.tsx';
import { MovingWords } from './moving-words.tsx';
import { PickingWords } from './picking-words.tsx';
import type { FoundPlace } from './places-of.ts';
import { choicesOf, FOLLOW, PlateCaption } from './plate-caption.tsx';
import type { Moving, Point } from './reader.ts';
import { AS_READ_ALONG, chosenMap, type MapChoice, type SurfaceMap } from './surface-maps.ts';
import { spaceOf, useFigure, useMarks } from './use-figure.ts';
import type { PickingState } from './use-picking.ts';

export interface PlateProps {
  /** The right page, or a sheet over a narrow window while places are picked. */
  readonly kind: 'page' | 'sheet';
  readonly data: FigureData | null;
  readonly is: BuildState['figureIs'];
  readonly picking: PickingState;
  /** The places that lie level by the maker's word, file space, mm. */
  readonly level: readonly Point[] | null;
  readonly places: {
    readonly all: readonly FoundPlace[];
    readonly raised: string | null;
    readonly facing: { readonly letter: string } | null;
  };
  readonly drawings: Drawings;
  readonly chapter: string;
  /** Of the maps of the surface, the one that is being read. */
  readonly along: SurfaceMap;
  readonly held: string | null;
  /** The figure is from before the last change. */
  readonly stale: boolean;
  readonly measure: Measure;
}

const NOTHING_MOVES: Moving = {
  now: null,
  prepare: () => undefined,
  move: () => undefined,
  drag: () => undefined,
  set: () => undefined,
  giveUp: () => undefined,
};

function roomClass(isPicking: boolean, { now }: Moving): string {
  if (isPicking) return 'plate-room plate-picking';
  return now?.isDragged === true ? 'plate-room plate-moving' : 'plate-room';
}

/** The places so far, in the figure's space. */
function pickedIn(data: FigureData | null, now: PickingState['now']): readonly Point[] | null {
  const space = data === null || now === null ? null : spaceOf(data, now.span.s);
  if (now === null || space === null) return now === null ? null : [];
  const back = invertTransform(space);
  return now.points.map((point) => applyTransform(back, point));
}

/** A note about walls that soften is read with their map. */
function mapOfRaised({ all, raised }: PlateProps['places']): SurfaceMap | null {
  const place = all.find(({ letter }) => letter === raised);
  return place !== undefined && 'code' in place.finding && place.finding.code === 'WALL_SOFTENS' ? 'warm' : null;
}

export function Plate(props: PlateProps) {
  const { data, drawings, chapter, held, picking, places } = props;
  const moving = useMovingSeam() ?? NOTHING_MOVES;
  const [apartPercent, setApartPercent] = useState(60);
  const [wanted, setStays] = useState(FOLLOW.value);
  const [mapChoice, setMapChoice] = useState<MapChoice>(AS_READ_ALONG);
  const map = chosenMap(mapChoice, mapOfRaised(places) ?? props.along);
  const choices = data === null ? [FOLLOW] : choicesOf(data);
  const stays = choices.some(({ value }) => value === wanted) ? wanted : FOLLOW.value;
  const isPicking = picking.now !== null;
  const followed = stays === FOLLOW.value ? chapter : stays;
  const isMoving = moving.now !== null;
  const shows = (isPicking && followed !== 'as-read') || isMoving ? 'model' : followed;
  const room = useRef<HTMLDivElement>(null);
  const { raised, facing } = places;
  const picked = useMemo(() => pickedIn(data, picking.now), [data, picking.now]);
  const marks = useMarks(data, { shows, chapter, picked, level: props.level, places: places.all, raised });
  const mounting = useFigure(room, data, {
    shows,
    map,
    apart: apartPercent / 100,
    held,
    marks,
    raised,
    facing,
    picking,
    moving,
    is: props.is,
  });
  const drawing = drawings[chapter === 'model' || chapter === 'wearer' ? 'whole' : 'apart'] ?? drawings.whole;
  const first = drawing ?? drawings['as-read'];
  return (
    <aside className={props.kind === 'sheet' ? 'plate plate-sheet' : 'plate'} aria-label="Figure">
      <figure>
        <div className="plate-place">
          {/* Until the figure can be turned there is its drawing; where it never can, it stays. */}
          {mounting !== 'drawn' && first !== undefined && <DrawingLines className="plate-drawing" svg={first} />}
          <div className={roomClass(isPicking, moving)} ref={room} hidden={mounting === 'failed'} />
        </div>
        <figcaption>
          {isPicking ? (
            <PickingWords picking={picking} keys={props.kind === 'page' ? 'with keys' : 'without keys'} />
          ) : moving.now?.isDragged === true ? (
            <MovingWords moving={moving} />
          ) : data === null ? (
            <span>{first === undefined ? 'The figure is drawn as soon as the file has been read.' : ''}</span>
          ) : (
            <PlateCaption
              data={data}
              is={props.is}
              shows={shows}
              map={{ now: map, choice: mapChoice, set: setMapChoice }}
              stale={props.stale}
              measure={props.measure}
              turns={mounting !== 'failed'}
              stays={{ value: stays, options: choices, set: setStays }}
              apart={{ percent: apartPercent, set: setApartPercent }}
            />
          )}
        </figcaption>
      </figure>
    </aside>
  );
}
