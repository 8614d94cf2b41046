// The plate's caption while a seam is moved in the figure: how it is moved, and how it is set or given back.
import type { Moving } from './reader.ts';

export function MovingWords({ moving }: { moving: Moving }) {
  if (moving.now === null) return null;
  return (
    <>
      <p className="picking-asks" role="status">
        Take the blue line of <b>{moving.now.span.label}</b> and pull it; with Shift it leans.
      </p>
      <p>
        Beside the line a drag turns the model. At the keyboard the arrows move the line by a millimetre, with Shift
        they lean it, Enter sets it.{' '}
        <button type="button" className="word yours" onClick={moving.set}>
          Set it here
        </button>
        , or{' '}
        <button type="button" className="word yours" aria-keyshortcuts="Escape" onClick={moving.giveUp}>
          give it back
        </button>
        .
      </p>
    </>
  );
}
