// Taking a record out of the workshop, in two steps and in words.
import { useEffect, useRef, useState } from 'react';

export function RemoveLine(props: {
  readonly name: string;
  readonly what: 'machine' | 'material';
  readonly says: string;
  readonly remove: () => void;
}) {
  const { name, what, says, remove } = props;
  const [asking, setAsking] = useState(false);
  const keep = useRef<HTMLButtonElement>(null);
  const ask = useRef<HTMLButtonElement>(null);
  const wasAsking = useRef(false);
  useEffect(() => {
    if (asking) keep.current?.focus();
    else if (wasAsking.current) ask.current?.focus();
    wasAsking.current = asking;
  }, [asking]);
  if (!asking)
    return (
      <p className="house-words">
        <button
          type="button"
          className="word"
          ref={ask}
          aria-label={`Remove this ${what}: ${name}`}
          onClick={() => setAsking(true)}
        >
          Remove this {what}
        </button>
      </p>
    );
  return (
    <p className="house-words">
      <span className="house-care">Remove {name} from the workshop?</span>
      <span>{says}</span>
      <button type="button" className="word" ref={keep} onClick={() => setAsking(false)}>
        Keep it
      </button>
      <button type="button" className="word" onClick={remove}>
        Remove it
      </button>
    </p>
  );
}
