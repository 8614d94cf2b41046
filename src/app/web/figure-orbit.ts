// Turns the figure by pointer and keyboard. A drag up or down a touch screen stays with the page.

export interface View {
  /** Round the upright axis, from the front towards the wearer's left. */
  azimuthDeg: number;
  elevationDeg: number;
  zoom: number;
}

export interface Orbit {
  readonly view: View;
  /** True once the reader has turned the figure. */
  touched(): boolean;
  /** From now on the view is the reader's. */
  touch(): void;
  dispose(): void;
}

const DEG_PER_PX = 0.4;
const KEY_DEG = 8;
const KEYS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-KEY_DEG, 0],
  ArrowRight: [KEY_DEG, 0],
  ArrowUp: [0, KEY_DEG],
  ArrowDown: [0, -KEY_DEG],
};

export function orbitBy(element: HTMLElement, view: View, changed: () => void): Orbit {
  const stop = new AbortController();
  const { signal } = stop;
  let touched = false;
  let dragging: { id: number; x: number; y: number } | null = null;
  const turn = (azimuthDeg: number, elevationDeg: number): void => {
    touched = true;
    view.azimuthDeg += azimuthDeg;
    view.elevationDeg = Math.min(89, Math.max(-80, view.elevationDeg + elevationDeg));
    changed();
  };
  element.addEventListener(
    'pointerdown',
    (event) => {
      if (event.button !== 0) return;
      dragging = { id: event.pointerId, x: event.clientX, y: event.clientY };
      element.setPointerCapture(event.pointerId);
    },
    { signal },
  );
  element.addEventListener(
    'pointermove',
    (event) => {
      if (dragging?.id !== event.pointerId) return;
      turn((dragging.x - event.clientX) * DEG_PER_PX, (event.clientY - dragging.y) * DEG_PER_PX);
      dragging = { id: event.pointerId, x: event.clientX, y: event.clientY };
    },
    { signal },
  );
  for (const end of ['pointerup', 'pointercancel'] as const)
    element.addEventListener(end, () => (dragging = null), { signal });
  element.addEventListener(
    'keydown',
    (event) => {
      // With Shift the arrows are others' (see figure-pointing.ts), with Alt or Ctrl the browser's.
      if (event.shiftKey && event.key.startsWith('Arrow')) return;
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      const way = KEYS[event.key];
      if (way !== undefined) turn(...way);
      else if (event.key === '+' || event.key === '=') zoomBy(1.15);
      else if (event.key === '-') zoomBy(1 / 1.15);
      else return;
      event.preventDefault();
    },
    { signal },
  );
  const zoomBy = (factor: number): void => {
    view.zoom = Math.min(12, Math.max(0.5, view.zoom * factor));
    changed();
  };
  // The plain wheel scrolls the page; a pinch arrives as a wheel with Ctrl.
  element.addEventListener(
    'wheel',
    (event) => {
      if (!event.ctrlKey) return;
      event.preventDefault();
      zoomBy(Math.exp(-event.deltaY * 0.01));
    },
    { signal, passive: false },
  );
  return {
    view,
    touched: () => touched,
    touch: () => {
      touched = true;
    },
    dispose: () => stop.abort(),
  };
}
