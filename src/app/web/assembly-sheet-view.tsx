// The sheet for the bench in book.html: on paper a page of its own, on a screen not shown.
import type { AssemblySheet } from '../../workshop/book/assembly-sheet.ts';
import type { Block, Drawings } from '../../workshop/book/book-text.ts';
import { Blocks } from './block-view.tsx';
import { DrawingLines } from './drawing-lines.tsx';

/** More rows than this are set tighter, with a smaller drawing, so that all stays on one page. */
const FEW_ROWS = 16;

export function AssemblySheetView({ sheet, drawings }: { sheet: AssemblySheet; drawings: Drawings }) {
  const { title, beside, tables, cautions } = sheet;
  const rows = tables.reduce((sum, block) => sum + rowsOf(block), 0);
  return (
    <section
      className={rows > FEW_ROWS ? 'bench-sheet bench-sheet-tight' : 'bench-sheet'}
      aria-label="Assembly on one page"
    >
      <header>
        <p className="imprint">Assembly on one page</p>
        <h2>{title}</h2>
      </header>
      <div className="bench-top">
        <DrawingLines svg={drawings.joined ?? ''} />
        <div className="bench-words">
          <Blocks blocks={beside} drawings={drawings} />
        </div>
      </div>
      <Blocks blocks={tables} drawings={drawings} />
      <div className="bench-cautions">
        <Blocks blocks={cautions} drawings={drawings} />
      </div>
    </section>
  );
}

function rowsOf(block: Block): number {
  return block.b === 'table' ? block.rows.length : 0;
}
