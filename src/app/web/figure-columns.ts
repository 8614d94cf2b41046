// Divides labels into a column on each side of the figure and moves them apart, so that none covers another.

export interface ColumnLabel<T> {
  /** The place it belongs to, px. */
  readonly x: number;
  readonly y: number;
  /** Of the label itself, px. */
  readonly height: number;
  readonly of: T;
}

export interface Column<T> {
  readonly side: 'left' | 'right';
  readonly edge: number;
  /** `y`: the middle of the first line of the label. */
  readonly rows: readonly { readonly of: T; readonly y: number }[];
}

export interface Columns<T> {
  readonly columns: readonly Column<T>[];
  /** False when a column is taller than the room: its labels lie closer than their heights. */
  readonly fits: boolean;
}

interface Room {
  readonly height: number;
  readonly left: number;
  readonly right: number;
}

const GAP_PX = 16;
/** Between two labels, and from the edges of the room. */
const ROW_GAP_PX = 7;
const EDGE_PX = 4;
/** From the top of a label to the middle of its first line. */
export const FIRST_LINE_PX = 10.4;

/** About half of the labels on each side, from top to bottom in the order of their places, so that no two lines cross by much. */
export function columnsOf<T>(labels: readonly ColumnLabel<T>[], room: Room): Columns<T> {
  const byX = [...labels].sort((a, b) => a.x - b.x);
  const middle = (room.left + room.right) / 2;
  const half = byX.length / 2;
  const ownLeft = byX.filter((label) => label.x < middle).length;
  const numLeft = Math.min(Math.ceil(half + 1), Math.max(Math.floor(half - 1), ownLeft));
  const left = spread(byX.slice(0, numLeft), room.height);
  const right = spread(byX.slice(numLeft), room.height);
  return {
    columns: [
      { side: 'left', edge: Math.round(room.left - GAP_PX), rows: left.rows },
      { side: 'right', edge: Math.round(room.right + GAP_PX), rows: right.rows },
    ],
    fits: left.fits && right.fits,
  };
}

function spread<T>(labels: readonly ColumnLabel<T>[], height: number): { rows: { of: T; y: number }[]; fits: boolean } {
  const sorted = [...labels].sort((a, b) => a.y - b.y);
  const wanted = sorted.reduce((sum, label) => sum + label.height + ROW_GAP_PX, -ROW_GAP_PX);
  const have = height - 2 * EDGE_PX;
  // Where there are too many, they share what there is.
  const scale = wanted > have ? have / wanted : 1;
  const tall = sorted.map((label) => (label.height + ROW_GAP_PX) * scale);
  const tops = sorted.map((label) => label.y - FIRST_LINE_PX);
  for (let i = 0; i < tops.length; i++) tops[i] = Math.max(tops[i]!, i === 0 ? EDGE_PX : tops[i - 1]! + tall[i - 1]!);
  let floor = height - EDGE_PX + ROW_GAP_PX * scale;
  for (let i = tops.length - 1; i >= 0; i--) {
    tops[i] = Math.min(tops[i]!, floor - tall[i]!);
    floor = tops[i]!;
  }
  return { rows: sorted.map(({ of }, i) => ({ of, y: Math.round(tops[i]! + FIRST_LINE_PX) })), fits: scale === 1 };
}
