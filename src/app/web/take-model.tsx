// Takes a model's file or files, chosen or dropped anywhere on the page, and opens the book that is written about it.
import { type ReactNode, useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../api/api.ts';
import { MODEL_ENDINGS, oneModelOf } from './one-model.ts';
import { sendModel } from './server-calls.ts';

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
    const model = await oneModelOf(files);
    if (!model.ok) {
      setProblem(model.problem);
      return;
    }
    const { name } = model;
    setSent({ name, share: 0 });
    const answer = await sendModel(model, (share) => setSent({ name, share }));
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

export function ChooseModel({ taking, children }: { taking: Taking; children: ReactNode }) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" className="word" onClick={() => input.current?.click()}>
        {children}
      </button>
      <input
        ref={input}
        type="file"
        accept={[...MODEL_ENDINGS, '.bin'].join(',')}
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
