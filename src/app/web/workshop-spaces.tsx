// The plate of the workshop: the spaces that the machines print in, drawn side by side at one scale.
import type { Workshop } from '../api/workshop.ts';
import { type Measure, showNumber } from './format.ts';

const PER_ROW = 3;
const GAP_PERCENT = 6;
const MM_PER_INCH = 25.4;
/** Room round a box for the width of its lines, mm. */
const ROOM_MM = 4;

/** The eye of the book's drawings: from the front, a little from above and from one side (VIEW, into the picture). */
const VIEW = unit([-0.55, 0.75, -0.36]);
const RIGHT = unit([VIEW[1], -VIEW[0], 0]);
const UP = cross(RIGHT, VIEW);

/** `near`: the machine whose numbers are being read; its lines are heavier. */
export function Spaces(props: {
  readonly machines: Workshop['machines'];
  readonly near: string | null;
  readonly measure: Measure;
}) {
  const { machines, near, measure } = props;
  const rows = Math.ceil(machines.length / PER_ROW);
  const perRow = Math.ceil(machines.length / Math.max(1, rows));
  const widths = machines.map(({ bedMm }) => extentOf(bedMm, RIGHT).size + 2 * ROOM_MM);
  const widest = Math.max(
    // In several rows they are drawn no larger than three to a row, so that all of them are seen at once.
    rows > 1 ? PER_ROW * Math.max(...widths) : 1,
    ...Array.from({ length: rows }, (_none, row) =>
      widths.slice(row * perRow, (row + 1) * perRow).reduce((sum, each) => sum + each, 0),
    ),
  );
  const share = (mm: number): string => `${((100 - GAP_PERCENT * (perRow - 1)) * mm) / widest}%`;
  const rule = measure === 'inch' ? 4 * MM_PER_INCH : 100;
  return (
    <figure className="spaces">
      <ol className="spaces-row" style={{ columnGap: `${GAP_PERCENT}%` }}>
        {machines.map((machine, index) => (
          <li
            key={machine.id}
            className={machine.id === near ? 'spaces-one spaces-near' : 'spaces-one'}
            style={{ width: share(widths[index]!) }}
          >
            <Space bedMm={machine.bedMm} />
            <p>
              <b>{machine.name}</b>
              {!tellsSides(machine.name, machine.bedMm) && <span>{sidesWords(machine.bedMm, measure)}</span>}
            </p>
          </li>
        ))}
      </ol>
      <div className="spaces-rule" aria-hidden="true">
        <span style={{ width: share(rule) }} />
        {measure === 'inch' ? '4 in' : '100 mm'}
      </div>
      <figcaption>
        The spaces in which the machines print, all at one scale, seen from the front, a little from above.
      </figcaption>
    </figure>
  );
}

type Three = readonly [number, number, number];

/** A box standing on its bed: what faces the reader in full line, what lies behind it broken. */
function Space({ bedMm }: { bedMm: Three }) {
  const [width, depth, height] = bedMm;
  const path = (...corners: readonly Three[]): string =>
    `M${corners
      .map(([x, y, z]): Three => [x * width, y * depth, z * height])
      .map((point) => `${dot(point, RIGHT).toFixed(2)},${(-dot(point, UP)).toFixed(2)}`)
      .join('L')}`;
  const across = extentOf(bedMm, RIGHT);
  const tall = extentOf(bedMm, UP);
  const box = [
    across.least - ROOM_MM,
    -tall.least - tall.size - ROOM_MM,
    across.size + 2 * ROOM_MM,
    tall.size + 2 * ROOM_MM,
  ];
  return (
    <svg viewBox={box.map((mm) => mm.toFixed(2)).join(' ')} aria-hidden="true" focusable="false">
      <path className="space-bed" d={`${path([0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0])}Z`} />
      <path className="space-behind" d={`${path([0, 0, 0], [0, 1, 0], [1, 1, 0])}${path([0, 1, 0], [0, 1, 1])}`} />
      <path className="space-inside" d={`${path([0, 0, 1], [1, 0, 1], [1, 1, 1])}${path([1, 0, 0], [1, 0, 1])}`} />
      <path
        className="space-outline"
        d={`${path([0, 0, 0], [1, 0, 0], [1, 1, 0], [1, 1, 1], [0, 1, 1], [0, 0, 1])}Z`}
      />
    </svg>
  );
}

/** How far a box reaches along a direction. */
function extentOf(bedMm: Three, along: Three): { least: number; size: number } {
  const reaches = bedMm.map((mm, axis) => mm * along[axis]!);
  const least = reaches.reduce((sum, each) => sum + Math.min(0, each), 0);
  return { least, size: reaches.reduce((sum, each) => sum + Math.abs(each), 0) };
}

function dot(a: Three, b: Three): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function cross(a: Three, b: Three): Three {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function unit(v: Three): Three {
  const length = Math.hypot(...v);
  return [v[0] / length, v[1] / length, v[2] / length];
}

function sidesWords(bedMm: readonly [number, number, number], measure: Measure): string {
  const sides = bedMm.map((mm) => (measure === 'inch' ? showNumber(mm / MM_PER_INCH, 1) : showNumber(mm, 0)));
  return `${sides.join(' × ')}\u00a0${measure === 'inch' ? 'in' : 'mm'}`;
}

/** A name that says its sides says them as they are. */
function tellsSides(name: string, bedMm: Three): boolean {
  const numbers: readonly string[] = name.match(/\d+(\.\d+)?/g) ?? [];
  return bedMm.every((mm, index) => numbers[index] === String(mm));
}
