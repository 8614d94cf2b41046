// What the command line says: progress on a terminal, plain lines when piped. Standard output is for results only.
import type { Refusal } from '../../base/findings.ts';
import type { EngineHooks } from '../worker/engine-host.ts';
import { EXIT } from './exit-codes.ts';

const LABELS: Readonly<Record<string, string>> = {
  reading: 'Reading',
  demo: 'Demo',
  model: 'Model',
  wearer: 'Wearer',
  pieces: 'Pieces',
  joints: 'Joints',
  printing: 'Printing',
  beds: 'Beds',
  assembly: 'Assembly',
  surface: 'Surface',
  book: 'Book',
};

/** Hooks that show how far the work is. On a terminal one line rewritten in place, else a line when a chapter ends. */
export function progressHooks(stream: NodeJS.WriteStream = process.stderr): EngineHooks {
  return {
    progress: (chapter, fraction, doing) => {
      if (!stream.isTTY) return;
      const words = `${LABELS[chapter] ?? chapter}: ${doing}`.slice(0, Math.max(20, (stream.columns ?? 80) - 8));
      stream.write(`\r\x1b[2K${String(Math.round(fraction * 100)).padStart(3)} % ${words}`);
    },
    chapter: ({ name, state, seconds, reused }) => {
      const took = reused ? 'as before' : `${seconds.toFixed(1)} s`;
      const words = state === 'computed' ? took : state;
      stream.write(`${stream.isTTY ? '\r\x1b[2K' : ''}${(LABELS[name] ?? name).padEnd(9)} ${words}\n`);
    },
  };
}

export function clearProgress(stream: NodeJS.WriteStream = process.stderr): void {
  if (stream.isTTY) stream.write('\r\x1b[2K');
}

function refusalLines(refusal: Refusal): string {
  return `refused: ${refusal.why}\n  try: ${refusal.tryThis}\n  code: ${refusal.code}`;
}

/** Says a refusal where results or complaints are read, and gives the exit code. */
export function sayRefusal(refusal: Refusal, { json }: { readonly json: boolean }): number {
  clearProgress();
  if (json) process.stdout.write(`${JSON.stringify(refusal, null, 2)}\n`);
  else process.stderr.write(`${refusalLines(refusal)}\n`);
  return EXIT.refused;
}

/** "41 h 20 min" */
export function duration(seconds: number): string {
  const minutes = Math.round(seconds / 60);
  return minutes < 60 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, '0')} min`;
}
