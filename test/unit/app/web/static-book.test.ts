import { describe, expect, it } from 'vitest';
import { encodeFigure } from '../../../../src/app/api/figure-codec.ts';
import { staticBookHtml } from '../../../../src/app/web/static-book.tsx';
import { FIXTURE_BOOK, FIXTURE_DRAWINGS, fixtureFigure } from './fixture.ts';

const ASSETS = { css: 'p{color:red}', script: 'void 0', fontsBase64: { literata: 'AAAA' } };
const plain = (html: string): string => html.replace(/[\u202f\u00a0]/g, ' ');

describe('book.html', () => {
  const figureBytes = encodeFigure(fixtureFigure());
  const html = staticBookHtml({
    text: FIXTURE_BOOK,
    drawings: FIXTURE_DRAWINGS,
    sheets: [],
    figureBytes,
    assets: ASSETS,
  });

  it('asks nothing of any network', () => {
    expect(html).not.toMatch(/(src|href)="(?!data:|#)/);
    expect(html).not.toMatch(/url\((?!data:)/);
  });

  it('reads without script: sentences, tables, drawings', () => {
    expect(plain(html)).toContain('41 h 20 min');
    expect(html).toContain('<caption>Seams</caption>');
    expect(html.match(/<title>A box<\/title>/g)?.length).toBeGreaterThanOrEqual(7);
  });

  it('has nothing to change', () => {
    expect(html).not.toContain('role="spinbutton"');
    expect(html).not.toContain('<select');
  });

  it('carries the figure', () => {
    const found = /id="figure-data">([^<]+)</.exec(html);
    expect(Buffer.from(found![1]!, 'base64').equals(Buffer.from(figureBytes))).toBe(true);
  });

  it('does without a figure', () => {
    const bare = staticBookHtml({
      text: FIXTURE_BOOK,
      drawings: {},
      sheets: [],
      figureBytes: new Uint8Array(),
      assets: ASSETS,
    });
    expect(bare).not.toContain('figure-data');
    expect(bare).not.toContain('class="plate"');
  });

  it('is not opened up by a title', () => {
    const title = '</title><script>alert(1)</script>';
    const hostile = staticBookHtml({
      text: { ...FIXTURE_BOOK, title },
      drawings: {},
      sheets: [],
      figureBytes: new Uint8Array(),
      assets: ASSETS,
    });
    expect(hostile).not.toContain('<script>alert');
  });

  it('has a sheet for the bench where something is joined', () => {
    expect(html).not.toContain('bench-sheet');
    const sheet = {
      label: 'Assembly on one page',
      drawing: 'joined',
      title: 'A helm',
      beside: [{ b: 'say', spans: [{ s: 'text', text: 'Dry fit first.' }] }],
      tables: [],
      cautions: [{ b: 'caution', title: 'Glue', text: 'Bonds skin.' }],
    } as const;
    const drawings = { ...FIXTURE_DRAWINGS, joined: '<svg><title>Apart</title></svg>' };
    const whole = staticBookHtml({ text: FIXTURE_BOOK, drawings, sheets: [sheet], figureBytes, assets: ASSETS });
    const at = whole.indexOf('class="bench-sheet"');
    expect(at).toBeGreaterThan(0);
    for (const words of ['Dry fit first.', '<title>Apart</title>', 'Bonds skin.'])
      expect(whole.indexOf(words)).toBeGreaterThan(at);
  });
});
