// The title of the book, changed where it stands.
import { type KeyboardEvent, useEffect, useId, useRef } from 'react';
import { ControlNote } from './control-note.tsx';

const MOST_LETTERS = 120;

export function TitleField(props: {
  readonly title: string;
  readonly problem: string | null;
  readonly onSet: (title: string) => void;
}) {
  const { title, problem, onSet } = props;
  const words = useRef<HTMLSpanElement>(null);
  const noteId = useId();
  useEffect(() => {
    // While it is being changed it is the maker's; afterwards it says what the build says.
    if (words.current !== null && document.activeElement !== words.current) words.current.textContent = title;
  }, [title]);
  const commit = (): void => {
    const typed = (words.current?.textContent ?? '').replace(/\s+/g, ' ').trim().slice(0, MOST_LETTERS);
    if (words.current !== null) words.current.textContent = typed === '' ? title : typed;
    if (typed !== '' && typed !== title) onSet(typed);
  };
  const onKeyDown = (event: KeyboardEvent<HTMLSpanElement>): void => {
    if (event.key === 'Escape' && words.current !== null) words.current.textContent = title;
    else if (event.key !== 'Enter') return;
    event.preventDefault();
    words.current?.blur();
  };
  return (
    <span className="title-field" data-path="name">
      {/* biome-ignore lint/a11y/useSemanticElements: a field of one line could not wrap as a title does */}
      <span
        ref={words}
        className="title-words"
        role="textbox"
        tabIndex={0}
        contentEditable="plaintext-only"
        suppressContentEditableWarning
        spellCheck={false}
        aria-label="Title of the book"
        aria-describedby={noteId}
        aria-invalid={problem !== null}
        onKeyDown={onKeyDown}
        onBlur={commit}
      />
      <ControlNote
        id={noteId}
        label="Title of the book"
        says={['Enter or leaving sets it, Escape gives it back. Nothing has to be computed again.']}
        trouble={problem}
      />
    </span>
  );
}
