// The tables of a comparison. Choices that differ can be changed in place, each in its own book.
import type { Block, BookText, Span } from '../../workshop/book/book-text.ts';
import type { Comparison } from '../../workshop/book/compare-books.ts';
import type { Beside } from '../api/beside.ts';
import { type Reader, ReaderContext } from './reader.ts';
import { Spans } from './span-view.tsx';
import type { SideName } from './use-beside.ts';

type TableBlock = Extract<Block, { b: 'table' }>;
type Control = Extract<Span, { s: 'number' | 'choice' }>;

export interface BesideTablesProps {
  readonly beside: Beside;
  readonly comparison: Comparison;
  readonly readers: Readonly<Record<SideName, Reader>>;
}

export function BesideTables({ beside, comparison, readers }: BesideTablesProps) {
  return comparison.tables.map((table) =>
    table.b === 'table' ? <ComparedTable key={table.caption} {...{ table, beside, comparison, readers }} /> : null,
  );
}

function ComparedTable(props: BesideTablesProps & { readonly table: TableBlock }) {
  const { table, beside, comparison, readers } = props;
  return (
    // Wide tables scroll sideways on a narrow page; the keyboard must be able to.
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region needs focus
    <section className="table beside-table" aria-label={table.caption} tabIndex={0}>
      <table>
        <caption>{table.caption}</caption>
        <thead>
          <tr>
            {table.columns.map(({ head, align }, index) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: two books may have one name
              <th key={index} scope="col" className={align}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {table.rows.map((row, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: rows have no identity but their order
            <tr key={index}>
              {row.map((cell, column) => {
                const side = SIDES[column];
                const Cell = column === 0 ? 'th' : 'td';
                const control = side === undefined ? null : controlOf(beside[side].text, wordsOf(row[0]), comparison);
                return (
                  <Cell
                    // biome-ignore lint/suspicious/noArrayIndexKey: cells have no identity but their order
                    key={column}
                    scope={column === 0 ? 'row' : undefined}
                    className={table.columns[column]?.align}
                  >
                    <ReaderContext value={readers[side ?? 'left']}>
                      {control !== null && side !== undefined && beside[side].live ? (
                        <Spans spans={[control]} place="table" />
                      ) : (
                        <Spans spans={cell} place="table" />
                      )}
                    </ReaderContext>
                  </Cell>
                );
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** Columns of both tables: what, left, right, and in one of them the difference. */
const SIDES: readonly (SideName | undefined)[] = [undefined, 'left', 'right', undefined];

/** The control of this text that the row is about: one of the paths that differ, under the label that the row begins with. */
function controlOf(text: BookText | null, what: string, { paths }: Comparison): Control | null {
  if (text === null) return null;
  const spans = text.chapters.flatMap(({ blocks }) => blocks).flatMap(spansOf);
  return (
    spans.find(
      (span): span is Control =>
        (span.s === 'number' || span.s === 'choice') &&
        paths.includes(span.path) &&
        (what === span.label || what === `${span.label} of machine ${machineOf(span.path)}`),
    ) ?? null
  );
}

function machineOf(path: string): number {
  return Number(/^machines\.(\d+)\./.exec(path)?.[1] ?? -1) + 1;
}

function spansOf(block: Block): readonly Span[] {
  if (block.b === 'say') return block.spans;
  return block.b === 'table' ? block.rows.flat(2) : [];
}

function wordsOf(cell: readonly Span[] | undefined): string {
  return (cell ?? []).map((span) => (span.s === 'text' || span.s === 'term' ? span.text : '')).join('');
}
