// A seam that is held, as numbers in its sentence: how far it stands and how it leans. While one is stepped, or the seam is dragged in the
// figure, its length and its cost are told at once; leaving the sentence, or letting go, sets the build.
import type { FocusEvent, KeyboardEvent } from 'react';
import type { Plane } from '../../geometry/plane.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import {
  type HeldPlane,
  heldPlane,
  MOST_LEAN_DEG,
  PLANE_LABELS,
  planeOfHeld,
  planeWords,
} from '../../workshop/book/held-plane.ts';
import { followsWords } from './control-note.tsx';
import { showQuantity, showSetting } from './format.ts';
import { useMovingSeam } from './moving-context.tsx';
import { NumberField } from './number-field.tsx';
import { type Editing, type MovedSeam, type PlaneSpan, useReader } from './reader.ts';
import { standingPlane } from './use-moving.ts';

/** As far from the middle of the model as a plane may be set, of its height. */
const MOST_AWAY = 3;

/** A number that is told without its sign keeps it; a negative one typed or stepped to goes to the other side. */
function signed(value: number, before: number): number {
  return before < 0 ? -value : value;
}

function middleOf({ heightMm }: PlaneSpan): Vec3 {
  return [0, 0, heightMm / 2];
}

export function LivePlane({ span, editing }: { span: PlaneSpan; editing: Editing }) {
  const { measure } = useReader();
  const moving = useMovingSeam();
  const now = moving?.now?.span.path === span.path ? moving.now : null;
  const plane = now?.plane ?? standingPlane(editing, span);
  const middle = middleOf(span);
  // While it moves it keeps its axis, so that the words around the numbers stay.
  const held = heldPlane(plane, middle);
  const words = planeWords(held);
  const labels = PLANE_LABELS[held.axis]!;
  const problem = editing.problemAt(span.path);
  const trouble = problem === undefined ? null : `${problem.detail} ${problem.tryThis}`;
  const change = (next: HeldPlane): void => moving?.move(span, planeOfHeld(next, middle));
  const lean = (index: 0 | 1) => (
    <NumberField
      label={`${labels[index + 1]}, ${span.label}`}
      value={Math.abs(held.leanDeg[index])}
      unit="deg"
      digits={1}
      min={-MOST_LEAN_DEG}
      max={MOST_LEAN_DEG}
      step={1}
      usual={null}
      measure={measure}
      follows={followsWords(span.follows)}
      problem={index === 0 ? trouble : null}
      onSet={(value) => {
        const lean = signed(value, held.leanDeg[index]);
        change({ ...held, leanDeg: index === 0 ? [lean, held.leanDeg[1]] : [held.leanDeg[0], lean] });
      }}
      eager
    />
  );
  const onKeyDown = (event: KeyboardEvent): void => {
    if (event.key === 'Enter') moving?.set();
    else if (event.key === 'Escape' && now !== null) moving?.giveUp();
  };
  const onBlur = (event: FocusEvent<HTMLElement>): void => {
    const to = event.relatedTarget;
    const stays = to instanceof Node && (event.currentTarget.contains(to) || isInPlate(to));
    if (!stays && moving?.now?.span.path === span.path) moving.set();
  };
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: the keys are those of the numbers in it
    <span
      className="held-plane"
      data-path={span.path}
      onFocus={() => moving?.prepare()}
      onKeyDown={onKeyDown}
      onBlur={onBlur}
    >
      {words[0]}
      <NumberField
        label={`${labels[0]}, ${span.label}`}
        value={Math.abs(held.atMm)}
        unit="mm"
        digits={1}
        min={-MOST_AWAY * span.heightMm}
        max={MOST_AWAY * span.heightMm}
        step={1}
        usual={null}
        measure={measure}
        follows={followsWords(span.follows)}
        problem={trouble}
        onSet={(value) => change({ ...held, atMm: signed(value, held.atMm) })}
        eager
      />
      {words[1]}
      {lean(0)}
      {words[2]}
      {lean(1)}
      {words[3]}
      <LiveCost now={now} />
      {moving !== null && now?.isDragged !== true && (
        <>
          {'; '}
          <button
            type="button"
            className="word yours"
            aria-label={`move it in the figure: ${span.label}`}
            onClick={() => moving.drag(span)}
          >
            move it in the figure
          </button>
        </>
      )}
    </span>
  );
}

/** What it would be where it stands now; a screen reader hears it when the number has been stepped. */
function LiveCost({ now }: { now: MovedSeam | null }) {
  const { measure } = useReader();
  const show = (mm: number): string => {
    const { number, unit } = showQuantity(mm, 'mm', { measure });
    return `${number}${unit}`;
  };
  return (
    <span className="live-cost" role="status">
      {now === null
        ? ''
        : now.line === null
          ? ', where its cost is not known yet'
          : now.line.lengthMm === 0
            ? ', where it meets nothing'
            : `: there about ${show(now.line.lengthMm)} on the outside, as dear as ${show(now.line.costMm)} in full view`}
    </span>
  );
}

function isInPlate(node: Node): boolean {
  return node instanceof Element && node.closest('.plate') !== null;
}

export function PlainPlane({ span }: { span: PlaneSpan }) {
  const { measure } = useReader();
  const held = heldPlane({ normal: span.normal, offsetMm: span.offsetMm } as Plane, middleOf(span));
  const words = planeWords(held);
  const set = (value: number, unit: 'mm' | 'deg'): string => {
    const shown = showSetting(value, unit, unit === 'mm' ? 0 : 1, measure);
    return `${shown.number}${shown.unit}`;
  };
  return `${words[0]}${set(Math.abs(held.atMm), 'mm')}${words[1]}${set(Math.abs(held.leanDeg[0]), 'deg')}${words[2]}${set(Math.abs(held.leanDeg[1]), 'deg')}${words[3]}`;
}
