// The downloads, as a sentence. Packing takes a while, so each says so, and says where it went wrong.
import { type MouseEvent, useState } from 'react';
import type { Problem } from '../api/api.ts';
import { ProblemView } from './problem-view.tsx';
import { buildUrl, fetchFile } from './server-calls.ts';

export function KitLine({ id, title }: { id: string; title: string }) {
  const [packing, setPacking] = useState<string | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const link = (file: string, words: string) => (
    <a
      href={`${buildUrl(id)}/${file}`}
      download={file}
      aria-disabled={packing !== null}
      onClick={(event: MouseEvent) => {
        event.preventDefault();
        if (packing !== null) return;
        setPacking(words);
        setProblem(null);
        void fetchFile(`${buildUrl(id)}/${file}`).then((answer) => {
          setPacking(null);
          if (answer.ok) save(answer.value, `${fileStem(title)}-${file}`);
          else setProblem(answer.problem);
        });
      }}
    >
      {words}
    </a>
  );
  return (
    <div className="kit-line" id="kit">
      <p>
        Take with you {link('kit.zip', 'the whole kit')}, {link('kit.3mf', 'all pieces in one file')},{' '}
        {link('book.html', 'this book to print or send')}, or only {link('build.json', 'your choices, as a build file')}
        . {packing !== null && <em role="status">Packing {packing}.</em>}
      </p>
      {problem !== null && <ProblemView problem={problem} />}
    </div>
  );
}

function save(blob: Blob, name: string): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

function fileStem(title: string): string {
  const stem = title
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '');
  return stem === '' ? 'build' : stem.slice(0, 60);
}
