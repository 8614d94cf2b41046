// Taking a record out of the workshop, in two steps and in words.
import { useAsking } from './use-asking.ts';

export function RemoveLine(props: {
  readonly name: string;
  readonly what: 'machine' | 'material';
  readonly says: string;
  readonly remove: () => void;
}) {
  const { name, what, says, remove } = props;
  const { asking, setAsking, askRef, keepRef } = useAsking();
  if (!asking)
    return (
      <p className="house-words">
        <button
          type="button"
          className="word"
          ref={askRef}
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
      <button type="button" className="word" ref={keepRef} onClick={() => setAsking(false)}>
        Keep it
      </button>
      <button type="button" className="word" onClick={remove}>
        Remove it
      </button>
    </p>
  );
}
