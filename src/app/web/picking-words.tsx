// The plate's caption while places are being picked: what to point at, and how.
import { countWord } from '../../workshop/book/spans.ts';
import type { PickingState } from './use-picking.ts';

const ORDINALS = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth'];

export function PickingWords({ picking, keys }: { picking: PickingState; keys: 'with keys' | 'without keys' }) {
  if (picking.now === null) return null;
  const { span, points } = picking.now;
  return (
    <>
      <p className="picking-asks" role="status">
        {span.s === 'points' ? (
          <>
            Point at the <b>{ORDINALS[points.length] ?? 'next'}</b> of {countWord(span.count)} {span.what} ({span.such}
            ).
          </>
        ) : (
          <>
            Point at the <b>{ORDINALS[points.length] ?? 'next'}</b> {span.what} ({span.such}).{' '}
            {points.length >= span.least && (
              <button type="button" className="word yours" onClick={picking.finish}>
                That is all of them
              </button>
            )}
          </>
        )}
      </p>
      {picking.says !== null && (
        <p className="picking-says" role="alert">
          {picking.says}
        </p>
      )}
      <p>
        Drag the model to turn it.
        {keys === 'with keys' &&
          ' At the keyboard the arrows turn it, Shift and the arrows move the cross, Enter takes the place under it, Backspace gives the last one back.'}{' '}
        <button type="button" className="word yours" disabled={points.length === 0} onClick={picking.takeBack}>
          Take back the last
        </button>
        , or{' '}
        <button type="button" className="word yours" aria-keyshortcuts="Escape" onClick={picking.giveUp}>
          give up
        </button>
        .
      </p>
    </>
  );
}
