// Taking hold of a line in the figure and pulling it: how far, square to its plane, in millimetres of the model.
import { Vector3 } from 'three';
import type { ViewFit } from './figure-fit.ts';
import type { Tone } from './figure-tones.ts';

/** How near to the line a pointer takes hold of it, px. */
const GRIP_PX = { mouse: 14, touch: 26 } as const;
/** A step of an arrow key, mm; with Shift it leans instead, about so far at the line. */
const STEP_MM = 1;
const STEPS: Readonly<Record<string, number>> = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1 };

/** What is pulled: where it was taken, how far it is pulled along the normal of its plane in all, and how. */
export interface Pull {
  readonly at: Tone;
  readonly mm: number;
  readonly how: 'moves' | 'leans';
  /** Let go of. */
  readonly isEnd: boolean;
}

export interface Grip {
  /** Steps of the line, xyz xyz, as the model stands together. */
  readonly steps: Float32Array;
  /** Unit normal of its plane. */
  readonly normal: Tone;
  readonly onPull: (pull: Pull) => void;
  /** A key has pulled it by a step from where it is. */
  readonly onStep: (pull: Omit<Pull, 'isEnd'>) => void;
  /** Enter has set it, or Escape given it back. */
  readonly onEnd: (how: 'set' | 'given back') => void;
}

/** Listens before the view does: a drag that begins on the line pulls it, one beside it turns the figure. Arrow keys pull by a
 *  millimetre. */
export function listenForPulls(
  element: HTMLElement,
  { grip, look }: { readonly grip: () => Grip | null; readonly look: () => ViewFit },
): { stop(): void } {
  const stop = new AbortController();
  const options = { signal: stop.signal, capture: true };
  let pulling: { id: number; x: number; y: number; at: Tone; grip: Grip; seen: ViewFit } | null = null;
  let shift = false;
  const pull = (event: PointerEvent, isEnd: boolean): void => {
    if (pulling?.id !== event.pointerId) return;
    event.stopImmediatePropagation();
    event.preventDefault();
    const { grip: held, seen, at } = pulling;
    const mm = alongNormal(seen, held.normal, { x: event.clientX - pulling.x, y: event.clientY - pulling.y });
    held.onPull({ at, mm, how: shift ? 'leans' : 'moves', isEnd });
    if (isEnd) pulling = null;
  };
  element.addEventListener(
    'pointerdown',
    (event) => {
      const held = grip();
      if (held === null || event.button !== 0) return;
      const seen = look();
      const box = element.getBoundingClientRect();
      const px = { x: event.clientX - box.left, y: event.clientY - box.top };
      const at = nearestOfLine(held.steps, seen, px, GRIP_PX[event.pointerType === 'touch' ? 'touch' : 'mouse']);
      if (at === null) return;
      pulling = { id: event.pointerId, x: event.clientX, y: event.clientY, at, grip: held, seen };
      shift = event.shiftKey;
      element.setPointerCapture(event.pointerId);
      element.focus({ preventScroll: true });
      event.stopImmediatePropagation();
      event.preventDefault();
    },
    options,
  );
  element.addEventListener('pointermove', (event) => pull(event, false), options);
  element.addEventListener('pointerup', (event) => pull(event, true), options);
  element.addEventListener('pointercancel', () => (pulling = null), options);
  element.addEventListener(
    'keydown',
    (event) => {
      const held = grip();
      const step = STEPS[event.key];
      if (held === null || event.altKey || event.ctrlKey || event.metaKey) return;
      if (step !== undefined) {
        const { steps } = held;
        const at: Tone = [steps[0] ?? 0, steps[1] ?? 0, steps[2] ?? 0];
        held.onStep({ at, mm: step * STEP_MM, how: event.shiftKey ? 'leans' : 'moves' });
      } else if (event.key === 'Enter') held.onEnd('set');
      else if (event.key === 'Escape') held.onEnd('given back');
      else return;
      event.stopImmediatePropagation();
      event.preventDefault();
    },
    options,
  );
  return { stop: () => stop.abort() };
}

/** Millimetres along the normal whose picture is nearest to the pull; none where the normal points at the eye. */
function alongNormal(seen: ViewFit, normal: Tone, px: { readonly x: number; readonly y: number }): number {
  const from = seen.toPx(new Vector3());
  const to = seen.toPx(new Vector3(...normal));
  const [x, y] = [to.x - from.x, to.y - from.y];
  const squared = x * x + y * y;
  // seen within 8 degrees of its normal a plane runs away from the hand
  return squared * seen.mmPerPx ** 2 < 0.02 ? 0 : (px.x * x + px.y * y) / squared;
}

function nearestOfLine(
  steps: Float32Array,
  seen: ViewFit,
  px: { readonly x: number; readonly y: number },
  mostPx: number,
): Tone | null {
  let nearest = mostPx;
  let found: Tone | null = null;
  const point = new Vector3();
  for (let i = 0; i < steps.length; i += 6) {
    const { x, y } = seen.toPx(point.fromArray(steps, i));
    const away = Math.hypot(x - px.x, y - px.y);
    if (away < nearest) {
      nearest = away;
      found = [steps[i]!, steps[i + 1]!, steps[i + 2]!];
    }
  }
  return found;
}
