// book.html: the whole book in one file, to print, to send, to read without script or network.
import { renderToStaticMarkup } from 'react-dom/server';
import type { BenchSheet } from '../../workshop/book/bench-sheet.ts';
import type { BookText, Drawings } from '../../workshop/book/book-text.ts';
import { BenchSheetView } from './bench-sheet-view.tsx';
import { BookView } from './book-view.tsx';
import { Colophon } from './colophon.tsx';
import { DrawingLines } from './drawing-lines.tsx';
import { fontFaceCss } from './font-faces.ts';

export interface StaticBookAssets {
  readonly css: string;
  /** Mounts the figure; see figure-static.ts. */
  readonly script: string;
  /** By the name of the font's file. */
  readonly fontsBase64: Readonly<Record<string, string>>;
}

export interface StaticBook {
  readonly text: BookText;
  readonly drawings: Drawings;
  /** Null where nothing is joined. */
  readonly sheets: readonly BenchSheet[];
  /** As written by encodeFigure; empty when there is no figure. */
  readonly figureBytes: Uint8Array;
  readonly assets: StaticBookAssets;
}

const CONTENT_POLICY =
  "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; font-src data:; img-src data:";

/** One self-contained document: about 1.2 MB, and the figure and drawings. */
export function staticBookHtml({ text, drawings, sheets, figureBytes, assets }: StaticBook): string {
  const faces = fontFaceCss((face) => `data:font/woff2;base64,${assets.fontsBase64[face.file] ?? ''}`);
  const head = renderToStaticMarkup(
    <>
      <meta charSet="utf-8" />
      <meta name="viewport" content="width=device-width, initial-scale=1" />
      <meta name="color-scheme" content="light dark" />
      <meta httpEquiv="Content-Security-Policy" content={CONTENT_POLICY} />
      <title>{text.title}</title>
    </>,
  );
  const body = renderToStaticMarkup(
    <StaticSpread
      text={text}
      drawings={drawings}
      sheets={sheets}
      figure={figureBytes.length > 0 ? 'figure' : 'no figure'}
    />,
  );
  const figure =
    figureBytes.length === 0
      ? ''
      : `<script type="application/octet-stream;base64" id="figure-data">${base64(figureBytes)}</script>\n<script>${assets.script}</script>\n`;
  return `<!doctype html>
<html lang="en">
<head>${head}
<style>${faces}
${assets.css}</style>
</head>
<body>${body}
${figure}</body>
</html>
`;
}

function StaticSpread(props: Pick<StaticBook, 'text' | 'drawings' | 'sheets'> & { figure: 'figure' | 'no figure' }) {
  const { text, drawings, sheets, figure } = props;
  const plateDrawing = drawings.apart ?? drawings.whole;
  const hasPlate = figure === 'figure' || plateDrawing !== undefined;
  return (
    <div className={hasPlate ? 'spread' : 'spread spread-single'}>
      <main className="left-page">
        <BookView text={text} drawings={drawings} />
        <Colophon text={text} />
        {sheets.map((sheet) => (
          <BenchSheetView key={sheet.label} sheet={sheet} drawings={drawings} />
        ))}
      </main>
      {hasPlate && <StaticPlate drawing={plateDrawing ?? ''} />}
    </div>
  );
}

/** Holds the drawing until the script has mounted the figure in its place. */
function StaticPlate({ drawing }: { drawing: string }) {
  return (
    <aside className="plate" aria-label="Figure">
      <figure>
        <div className="plate-place">
          <DrawingLines id="figure-room" className="plate-room" svg={drawing} />
        </div>
        <figcaption>
          <span id="figure-caption" />
          <label id="figure-apart" hidden>
            Apart <input type="range" min="0" max="150" step="5" defaultValue="60" />
          </label>
        </figcaption>
      </figure>
    </aside>
  );
}

function base64(bytes: Uint8Array): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('base64');
}
