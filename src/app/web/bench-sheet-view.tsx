// A sheet for the bench in book.html: on paper a page of its own, on a screen not shown.
import type { CSSProperties } from 'react';
import type { BenchSheet, BenchTable } from '../../workshop/book/bench-sheet.ts';
import type { Block, Drawings } from '../../workshop/book/book-text.ts';
import { Blocks } from './block-view.tsx';
import { DrawingLines } from './drawing-lines.tsx';

/** More rows than this are set tighter, with a smaller drawing; a table with more than the second stands in two halves side by side. So up to some
 *  fifteen joins and thirty seams stay on one page. */
const FEW_ROWS = 9;
const LONG_TABLE = 13;

export function BenchSheetView({ sheet, drawings }: { sheet: BenchSheet; drawings: Drawings }) {
  const { label, title, drawing, beside, tables, cautions } = sheet;
  const rows = tables.reduce((sum, table) => sum + Math.max(...halvesOf(table).map(rowsOf)), 0);
  return (
    <section
      className={rows > FEW_ROWS ? 'bench-sheet bench-sheet-tight' : 'bench-sheet'}
      aria-label={label}
      style={{ '--bench-rows': rows } as CSSProperties}
    >
      <header>
        <p className="imprint">{label}</p>
        <h2>{title}</h2>
      </header>
      <div className="bench-top">
        <DrawingLines svg={drawings[drawing] ?? ''} />
        <div className="bench-words">
          <Blocks blocks={beside} drawings={drawings} />
        </div>
      </div>
      {tables.map((table, index) => {
        const halves = halvesOf(table);
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: tables have no identity but their order
          <div key={index} className={halves.length > 1 ? 'bench-halves' : undefined}>
            <Blocks blocks={halves} drawings={drawings} />
          </div>
        );
      })}
      <div className="bench-cautions">
        <Blocks blocks={cautions} drawings={drawings} />
      </div>
    </section>
  );
}

function halvesOf({ table: block, halves }: BenchTable): readonly Block[] {
  if (block.b !== 'table' || halves === 'never') return [block];
  if (halves === 'where long' && block.rows.length <= LONG_TABLE) return [block];
  const half = Math.ceil(block.rows.length / 2);
  return [
    { ...block, rows: block.rows.slice(0, half) },
    { ...block, caption: 'The same, continued', rows: block.rows.slice(half) },
  ];
}

function rowsOf(block: Block): number {
  return block.b === 'table' ? block.rows.length : 0;
}
