// Tells a click or a tap from a drag, and lets keys move a cross and take what lies under it: how a place of the figure is pointed at.

const STILL_PX = 5;
const CROSS_PX = 12;
const CROSS_KEYS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-CROSS_PX, 0],
  ArrowRight: [CROSS_PX, 0],
  ArrowUp: [0, -CROSS_PX],
  ArrowDown: [0, CROSS_PX],
};

interface Px {
  readonly x: number;
  readonly y: number;
}

export interface PlaceListener {
  /** Sets the cross in the middle of the view. */
  centre(): void;
  stop(): void;
}

/** Calls back with a place in px from the top left. The cross is moved by Shift and the arrow keys and drawn by the style sheet at
 *  --cross-x and --cross-y. Only while `isOn` do keys count. */
export function listenForPlaces(
  element: HTMLElement,
  { isOn, onPlace }: { readonly isOn: () => boolean; readonly onPlace: (px: Px) => void },
): PlaceListener {
  const stop = new AbortController();
  const { signal } = stop;
  let down: { id: number; x: number; y: number } | null = null;
  /** From the middle. */
  let cross: Px = { x: 0, y: 0 };
  const setCross = (x: number, y: number): void => {
    const { clientWidth, clientHeight } = element;
    const within = (at: number, side: number): number => Math.min(side / 2, Math.max(-side / 2, at));
    cross = { x: within(x, clientWidth), y: within(y, clientHeight) };
    element.style.setProperty('--cross-x', `${cross.x}px`);
    element.style.setProperty('--cross-y', `${cross.y}px`);
  };
  element.addEventListener(
    'pointerdown',
    (event) => {
      down = event.button === 0 ? { id: event.pointerId, x: event.clientX, y: event.clientY } : null;
    },
    { signal },
  );
  element.addEventListener(
    'pointerup',
    (event) => {
      const from = down;
      down = null;
      if (from === null || from.id !== event.pointerId) return;
      if (Math.hypot(event.clientX - from.x, event.clientY - from.y) > STILL_PX) return;
      const box = element.getBoundingClientRect();
      onPlace({ x: event.clientX - box.left, y: event.clientY - box.top });
    },
    { signal },
  );
  element.addEventListener('pointercancel', () => (down = null), { signal });
  element.addEventListener(
    'keydown',
    (event) => {
      if (!isOn()) return;
      const step = event.shiftKey ? CROSS_KEYS[event.key] : undefined;
      if (step !== undefined) setCross(cross.x + step[0], cross.y + step[1]);
      else if (event.key === 'Enter' && !event.repeat)
        onPlace({ x: element.clientWidth / 2 + cross.x, y: element.clientHeight / 2 + cross.y });
      else return;
      event.preventDefault();
    },
    { signal },
  );
  return { centre: () => setCross(0, 0), stop: () => stop.abort() };
}
