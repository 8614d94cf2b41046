// Takes a model's file or files, or a book that was taken out before, chosen or dropped anywhere on the page, and opens its book.
import { type ReactNode, useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../api/api.ts';
import { MODEL_ENDINGS, oneModelOf } from './one-model.ts';
import { type Answer, sendArchive, sendModel } from './server-calls.ts';

export interface Taking {
  /** A share of the file that has been sent, or null when none is on its way. */
  readonly sent: { readonly name: string; readonly share: number } | null;
  readonly over: boolean;
  readonly problem: Problem | null;
  readonly take: (files: readonly File[]) => Promise<void>;
}

export function useTakeModel(): Taking {
  const [sent, setSent] = useState<Taking['sent']>(null);
  const [over, setOver] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const take = useCallback(async (files: readonly File[]): Promise<void> => {
    setProblem(null);
    const answer = await sendOne(files, (name, share) => setSent({ name, share }));
    if (answer.ok) location.assign(`/builds/${encodeURIComponent(answer.value.id)}`);
    else {
      setSent(null);
      setProblem(answer.problem);
    }
  }, []);
  useEffect(() => {
    const onOver = (event: DragEvent): void => {
      if (event.dataTransfer?.types.includes('Files') !== true) return;
      event.preventDefault();
      setOver(true);
    };
    const onLeave = (event: DragEvent): void => {
      if (event.relatedTarget === null) setOver(false);
    };
    const onDrop = (event: DragEvent): void => {
      event.preventDefault();
      setOver(false);
      const files = [...(event.dataTransfer?.files ?? [])];
      if (files.length > 0) void take(files);
    };
    window.addEventListener('dragover', onOver);
    window.addEventListener('dragleave', onLeave);
    window.addEventListener('drop', onDrop);
    return () => {
      window.removeEventListener('dragover', onOver);
      window.removeEventListener('dragleave', onLeave);
      window.removeEventListener('drop', onDrop);
    };
  }, [take]);
  return { sent, over, problem, take };
}

async function sendOne(
  files: readonly File[],
  onSent: (name: string, share: number) => void,
): Promise<Answer<{ id: string }>> {
  const [first] = files;
  if (files.length === 1 && first?.name.toLowerCase().endsWith('.zip'))
    return sendArchive(first, (share) => onSent(first.name, share));
  const model = await oneModelOf(files);
  if (!model.ok) return model;
  onSent(model.name, 0);
  return sendModel(model, (share) => onSent(model.name, share));
}

/** Lies over the whole page while a file is held over it, and while it is being sent. */
export function DropSheet({ taking }: { taking: Taking }) {
  const { sent, over } = taking;
  if (sent === null && !over) return null;
  return (
    <div className="drop-sheet" role="status">
      <p>
        {sent === null
          ? 'Let go, and a book is written about it.'
          : `Taking in ${sent.name}, ${Math.round(sent.share * 100)}%.`}
      </p>
    </div>
  );
}

/** `endings`: which files are offered; models unless said otherwise. */
export function ChooseModel(props: {
  readonly taking: Taking;
  readonly children: ReactNode;
  readonly endings?: readonly string[];
}) {
  const { taking, children, endings = [...MODEL_ENDINGS, '.bin'] } = props;
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" className="word" onClick={() => input.current?.click()}>
        {children}
      </button>
      <input
        ref={input}
        type="file"
        accept={endings.join(',')}
        multiple
        hidden
        onChange={(event) => {
          const files = [...(event.currentTarget.files ?? [])];
          if (files.length > 0) void taking.take(files);
          event.currentTarget.value = '';
        }}
      />
    </>
  );
}
