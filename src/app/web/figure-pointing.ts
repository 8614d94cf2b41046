// Tells a click or a tap from a drag, and hears Enter: how a place of the figure is pointed at.

const STILL_PX = 5;
const QUICK_MS = 700;

/** Calls back with a place in px from the top left, or null for the middle of the view. Returns how to stop. */
export function listenForPlaces(
  element: HTMLElement,
  onPlace: (px: { readonly x: number; readonly y: number } | null) => void,
): () => void {
  const stop = new AbortController();
  const { signal } = stop;
  let down: { id: number; x: number; y: number; at: number } | null = null;
  element.addEventListener(
    'pointerdown',
    (event) => {
      down =
        event.button === 0 ? { id: event.pointerId, x: event.clientX, y: event.clientY, at: event.timeStamp } : null;
    },
    { signal },
  );
  element.addEventListener(
    'pointerup',
    (event) => {
      const from = down;
      down = null;
      if (from === null || from.id !== event.pointerId || event.timeStamp - from.at > QUICK_MS) return;
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
      if (event.key !== 'Enter' || event.repeat) return;
      onPlace(null);
      event.preventDefault();
    },
    { signal },
  );
  return () => stop.abort();
}
