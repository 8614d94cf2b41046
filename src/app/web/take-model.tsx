// Takes a model file, chosen or dropped anywhere on the page, and opens the book that is written about it.
import { type ReactNode, useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../api/api.ts';
import { ProblemView } from './problem-view.tsx';
import { sendModel } from './server-calls.ts';

export interface Taking {
  /** A share of the file that has been sent, or null when none is on its way. */
  readonly sent: { readonly name: string; readonly share: number } | null;
  readonly over: boolean;
  readonly problem: Problem | null;
  readonly take: (file: File) => void;
}

export function useTakeModel(): Taking {
  const [sent, setSent] = useState<Taking['sent']>(null);
  const [over, setOver] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const take = useCallback((file: File) => {
    setProblem(null);
    setSent({ name: file.name, share: 0 });
    void sendModel(file, (share) => setSent({ name: file.name, share })).then((answer) => {
      if (answer.ok) location.assign(`/builds/${encodeURIComponent(answer.value.id)}`);
      else {
        setSent(null);
        setProblem(answer.problem);
      }
    });
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
      const file = event.dataTransfer?.files[0];
      if (file !== undefined) take(file);
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
        accept=".stl,.3mf"
        hidden
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          if (file !== undefined) taking.take(file);
          event.currentTarget.value = '';
        }}
      />
      {taking.problem !== null && <ProblemView problem={taking.problem} />}
    </>
  );
}
