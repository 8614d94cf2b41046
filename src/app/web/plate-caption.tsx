// What the plate says under the figure: what it shows, how far apart, and what else it could show.
import type { BuildState } from '../api/api.ts';
import type { FigureData } from '../api/figure-codec.ts';
import { ChoiceField } from './choice-field.tsx';
import { arrangementOf } from './figure-shown.ts';
import { figureWords, plateCaption } from './figure-words.ts';
import type { Measure } from './format.ts';
import { NumberField } from './number-field.tsx';
import { AS_READ_ALONG, MAP_LABELS, type MapChoice, mapChoices, type SurfaceMap } from './surface-maps.ts';

export interface ShownChoice {
  readonly value: string;
  readonly label: string;
}

export const FOLLOW: ShownChoice = { value: 'follow', label: 'the chapter being read' };

/** What there is to be shown; one choice is none. */
export function choicesOf({ parts, asRead }: FigureData): readonly ShownChoice[] {
  if (parts.length === 0) return [FOLLOW];
  return [
    FOLLOW,
    { value: 'model', label: 'the model whole' },
    ...(asRead === null ? [] : [{ value: 'as-read', label: 'the model as it came' }]),
    ...(parts.length === 1
      ? []
      : [
          { value: 'pieces', label: 'the pieces apart' },
          ...(parts.every(({ joined }) => joined !== null)
            ? [{ value: 'assembly', label: 'the pieces apart as they are joined' }]
            : []),
          { value: 'printing', label: 'the pieces as they lie' },
        ]),
  ];
}

const DRAFT = 'A first, thinned drawing of the model as it came; the finished figure takes its place.';
const TURNING = 'Drag it or use the arrow keys to turn it, plus and minus for its size.';

export interface PlateCaptionProps {
  readonly data: FigureData;
  readonly is: BuildState['figureIs'];
  readonly shows: string;
  readonly map: { readonly now: SurfaceMap; readonly choice: MapChoice; set(choice: MapChoice): void };
  /** False where the browser can only show its drawing. */
  readonly turns: boolean;
  readonly stale: boolean;
  readonly measure: Measure;
  readonly stays: { readonly value: string; readonly options: readonly ShownChoice[]; set(value: string): void };
  readonly apart: { readonly percent: number; set(percent: number): void };
}

export function PlateCaption(props: PlateCaptionProps) {
  const { data, is, shows, map, turns, stale, measure, stays, apart } = props;
  const maps = mapChoices(shows, data);
  if (!turns) return <span>A drawing; this browser cannot turn it. {figureWords(data, measure)}</span>;
  return (
    <>
      <span>{is === 'draft' ? DRAFT : plateCaption(shows, data, map.now)} </span>
      {stale && <b className="standing">From before the change. </b>}
      {['apart', 'by-joins'].includes(arrangementOf(shows, data)) && (
        <span>
          They stand{' '}
          <NumberField
            label="Pieces apart"
            value={apart.percent}
            unit="percent"
            digits={0}
            min={0}
            max={150}
            step={10}
            usual={60}
            measure="mm"
            follows="Only the figure changes."
            problem={null}
            onSet={apart.set}
            eager
          />{' '}
          of their way apart.{' '}
        </span>
      )}
      {maps.length > 0 && (
        <span className="plate-map">
          Marked on it:{' '}
          <ChoiceField
            label="What is marked on the figure"
            value={maps.includes(map.choice) ? map.choice : AS_READ_ALONG}
            options={maps.map((value) => ({ value, label: MAP_LABELS[value] }))}
            follows={null}
            problem={null}
            onSet={(value) => map.set(maps.find((each) => each === value) ?? AS_READ_ALONG)}
          />
          .{' '}
        </span>
      )}
      {stays.options.length === 1 ? (
        <span>{TURNING}</span>
      ) : (
        <span className="plate-stays">
          The figure shows{' '}
          <ChoiceField
            label="What the figure shows"
            value={stays.value}
            options={stays.options}
            follows={null}
            problem={null}
            onSet={stays.set}
          />
          . {TURNING}
        </span>
      )}
      <span className="unseen">{figureWords(data, measure)}</span>
    </>
  );
}
