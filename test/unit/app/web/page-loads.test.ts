import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { BUILT } from '../../../support/command.ts';
import { type LoadedPage, pageLoads } from '../../../support/page-loads.ts';

const web = join(BUILT, 'web');
const pages = pageLoads(web);
const holdsFigure = (name: string): boolean => readFileSync(join(web, name), 'utf8').includes('WebGLRenderer');
const packedKb = ({ files }: LoadedPage): number => files.reduce((sum, file) => sum + file.gzip, 0) / 1000;

describe('the code of the pages', () => {
  it('is loaded a page at a time', () => {
    expect(pages.map(({ page }) => page).sort()).toEqual([
      'beside-page',
      'book-page',
      'history-page',
      'shelf-page',
      'workshop-page',
    ]);
  });

  it.each(pages)('$page paints first without the code of the figure, and stays small', (page) => {
    expect(page.files.map(({ name }) => name).filter(holdsFigure)).toEqual([]);
    expect(packedKb(page)).toBeLessThan(130);
  });

  it('brings the figure to the book on demand', () => {
    const book = pages.find(({ page }) => page === 'book-page')!;
    expect(book.onDemand.some(({ name }) => holdsFigure(name))).toBe(true);
  });
});
