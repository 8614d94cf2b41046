// Sets a table: rules as in a printed book, figures in columns, and letters of pieces that can be held in the figure.
import type { Block, Span } from '../../workshop/book/book-text.ts';
import { type Measure, showQuantity } from './format.ts';
import { useReader } from './reader.ts';
import { Spans } from './span-view.tsx';

type TableBlock = Extract<Block, { b: 'table' }>;
type Row = TableBlock['rows'][number];

export function TableView({ table: whole }: { table: TableBlock }) {
  const { measure, side, editing } = useReader();
  const table = editing === null ? withoutOffers(whole) : whole;
  const label = side === undefined ? table.caption : `${table.caption}: ${side}`;
  const units = table.columns.map((_column, index) => columnUnit(table, index, measure));
  return (
    // Wide tables scroll sideways on a narrow page; the keyboard must be able to.
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region needs focus
    <section className="table" aria-label={label} tabIndex={0}>
      <table>
        <caption>{table.caption}</caption>
        <thead>
          <tr>
            {table.columns.map((column, index) => (
              <th key={column.head} scope="col" className={column.align}>
                {column.head}
                {units[index] !== '' && <span className="head-unit">{units[index]}</span>}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {table.rows.map((row, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: rows have no identity but their order
            <RowView key={index} row={row} table={table} units={units} />
          ))}
        </tbody>
        {table.total !== undefined && (
          <tfoot>
            <RowView row={table.total} table={table} units={units} />
          </tfoot>
        )}
      </table>
    </section>
  );
}

/** Where nothing can be changed a column that only lets one change something is left out. */
function withoutOffers(table: TableBlock): TableBlock {
  const told = (_: unknown, index: number): boolean => table.columns[index]?.offers !== true;
  if (table.columns.every(told)) return table;
  return {
    ...table,
    columns: table.columns.filter(told),
    rows: table.rows.map((row) => row.filter(told)),
    ...(table.total === undefined ? {} : { total: table.total.filter(told) }),
  };
}

function RowView({ row, table, units }: { row: Row; table: TableBlock; units: readonly string[] }) {
  const { holding } = useReader();
  const id = holding === null ? undefined : pieceOf(row, holding.ids);
  return (
    <tr
      className={id !== undefined && holding?.held === id ? 'held' : undefined}
      onPointerEnter={id === undefined ? undefined : () => holding?.hold(id)}
      onPointerLeave={id === undefined ? undefined : () => holding?.hold(null)}
    >
      {row.map((cell, index) => {
        const column = table.columns[index];
        const Cell = index === 0 ? 'th' : 'td';
        return (
          <Cell key={column?.head} scope={index === 0 ? 'row' : undefined} className={column?.align}>
            {index === 0 && id !== undefined ? (
              <HeldCell id={id} spans={cell} />
            ) : (
              <Spans spans={cell} place={units[index] === '' ? 'table' : 'column with its unit in the head'} />
            )}
          </Cell>
        );
      })}
    </tr>
  );
}

function HeldCell({ id, spans }: { id: string; spans: readonly Span[] }) {
  const { holding } = useReader();
  return (
    <>
      <button
        type="button"
        className="letter"
        aria-label={`Show piece ${id} in the figure`}
        onFocus={() => holding?.hold(id)}
        onBlur={() => holding?.hold(null)}
        onClick={() => holding?.hold(id)}
      >
        {id}
      </button>
      <Spans spans={spans.slice(1)} place="table" />
    </>
  );
}

function pieceOf(row: Row, ids: ReadonlySet<string>): string | undefined {
  const first = row[0]?.[0];
  return first?.s === 'term' && ids.has(first.text) ? first.text : undefined;
}

/** The unit that every quantity of a column shares, to be set once in its head; '' when there is none. */
function columnUnit({ rows, total = [] }: TableBlock, column: number, measure: Measure): string {
  const spans = [...rows, total].flatMap((row) => row[column] ?? []);
  const quantities = spans.filter((span) => span.s === 'quantity');
  if (quantities.length === 0) return '';
  const units = new Set(quantities.map(({ unit }) => showQuantity(0, unit, { measure, place: 'table' }).unit));
  const plain = spans.every((span) => span.s === 'quantity' || (span.s === 'text' && /^[\s×]*$/.test(span.text)));
  return units.size === 1 && plain && quantities.every(({ unit }) => unit !== 's') ? [...units][0]! : '';
}
