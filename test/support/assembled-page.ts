// The page of a helm with its joints and its assembly: the two chapters written by the book itself, the others as invented.

import type { Build } from '../../src/workshop/book/build-file.ts';
import { writeChapter } from '../../src/workshop/book/write-book.ts';
import { FIXTURE_BOOK, FIXTURE_DRAWINGS } from '../unit/app/web/fixture.ts';
import { type Assembled, assembledHelm } from './assembled-helm.ts';
import { fullPage } from './full-page.ts';
import type { GivenPage } from './page-server.ts';

/** With a wish for a seam that is gone, so that every sentence of the maker's say is there. */
export function assembledPage(numPieces: 4 | 7): GivenPage {
  const page = fullPage();
  const build: Build = {
    ...page.state.build,
    joints: {
      ...page.state.build.joints,
      asked: [{ name: 'C-Q', atMm: [0, 0, 900], join: 'magnets' }],
    },
  };
  const results = assembledHelm(numPieces);
  const text = {
    ...FIXTURE_BOOK,
    chapters: [
      ...FIXTURE_BOOK.chapters.filter(({ name }) => name !== 'joints' && name !== 'assembly'),
      ...(['joints', 'assembly'] as const).map((name) =>
        writeChapter(name, build, results, { findings: [], unit: '' }),
      ),
    ],
  };
  return { ...page, state: { ...page.state, build, text, drawings: drawingsOf(results) } };
}

/** A drawing that is as large as the real ones may be. */
export function drawingsOf({ joints }: Assembled): Record<string, string> {
  const sheet = (name: string, wide: number, high: number): string =>
    `<svg xmlns="http://www.w3.org/2000/svg" role="img" width="${wide}mm" height="${high}mm" viewBox="0 0 ${wide} ${high}"><title>${name}</title><rect x="1" y="1" width="${wide - 2}" height="${high - 2}" fill="none" stroke="var(--ink, #1c1b1a)"/></svg>`;
  const seams = joints.state === 'computed' ? joints.record.joints.map(({ seam }) => seam) : [];
  return {
    ...FIXTURE_DRAWINGS,
    joined: sheet('The pieces apart', 120, 120),
    ...Object.fromEntries(seams.map((seam) => [`joint-${seam}`, sheet(`Section of ${seam}`, 128, 50)])),
  };
}
