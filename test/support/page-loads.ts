// What a page of the built site loads: the scripts that its first paint waits for, and those that come on demand.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

export interface LoadedFile {
  readonly name: string;
  readonly bytes: number;
  readonly gzip: number;
}

export interface LoadedPage {
  /** 'book-page', 'shelf-page' and so on. */
  readonly page: string;
  readonly files: readonly LoadedFile[];
  readonly onDemand: readonly LoadedFile[];
}

/** Every page that main.js opens. Fonts are not counted: text shows before they are there. */
export function pageLoads(web: string): readonly LoadedPage[] {
  const pages = importsOf(web, 'main.js').onDemand;
  return pages.map((script) => {
    const now = closure(web, ['main.js', script]);
    const later = now.flatMap((name) => importsOf(web, name).onDemand).filter((name) => !pages.includes(name));
    const onDemand = closure(web, later).filter((name) => !now.includes(name));
    return {
      page: script.replace(/-[A-Z0-9]{8}\.js$/, ''),
      files: [...now, 'page.css', 'paper.js'].map((name) => loaded(web, name)),
      onDemand: onDemand.map((name) => loaded(web, name)),
    };
  });
}

function closure(web: string, from: readonly string[]): readonly string[] {
  const found = new Set(from);
  for (const name of found) for (const next of importsOf(web, name).atOnce) found.add(next);
  return [...found];
}

/** As esbuild writes them: import{a}from"./b.js", import"./b.js", import("./b.js"). */
function importsOf(
  web: string,
  name: string,
): { readonly atOnce: readonly string[]; readonly onDemand: readonly string[] } {
  const text = readFileSync(join(web, name), 'utf8');
  const known = new Set(readdirSync(web));
  const all = (pattern: RegExp): readonly string[] =>
    [...text.matchAll(pattern)].map((match) => match[1]!).filter((file) => known.has(file));
  return {
    atOnce: all(/(?:from|import)\s*"\.\/([^"]+\.js)"/g),
    onDemand: [...new Set(all(/import\(\s*"\.\/([^"]+\.js)"\s*\)/g))],
  };
}

function loaded(web: string, name: string): LoadedFile {
  const bytes = readFileSync(join(web, name));
  return { name, bytes: bytes.length, gzip: gzipSync(bytes).length };
}
