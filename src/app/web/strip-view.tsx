// The strip of hours: each print as twenty bars from its first layer to its last, all on one scale.
import type { Block } from '../../workshop/book/book-text.ts';
import { showDuration } from './format.ts';

type StripBlock = Extract<Block, { b: 'strip' }>;

const BAR = 10;
const HEIGHT = 34;

export function StripView({ strip }: { strip: StripBlock }) {
  const most = Math.max(1, ...strip.rows.flatMap((row) => row.seconds));
  return (
    <figure className="strip">
      <table>
        <tbody>
          {strip.rows.map((row) => (
            <tr key={row.label}>
              <th scope="row">{row.label}</th>
              <td className="strip-bars">
                <Bars seconds={row.seconds} most={most} label={barsWords(row.seconds)} />
              </td>
              <td className="end">{showDuration(sum(row.seconds))}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <figcaption>
        {strip.caption} The tallest bar is {showDuration(most)}.
      </figcaption>
    </figure>
  );
}

function Bars({ seconds, most, label }: { seconds: readonly number[]; most: number; label: string }) {
  const width = seconds.length * BAR;
  return (
    <svg viewBox={`0 0 ${width} ${HEIGHT}`} preserveAspectRatio="none" role="img" aria-label={label}>
      {seconds.map((each, index) => {
        const height = (HEIGHT - 2) * (each / most);
        // biome-ignore lint/suspicious/noArrayIndexKey: a bar is its place
        return <rect key={index} x={index * BAR + 1} y={HEIGHT - 1 - height} width={BAR - 2} height={height} />;
      })}
      <line x1="0" x2={width} y1={HEIGHT - 0.5} y2={HEIGHT - 0.5} />
    </svg>
  );
}

function barsWords(seconds: readonly number[]): string {
  const half = Math.floor(seconds.length / 2);
  return `${showDuration(sum(seconds.slice(0, half)))} in the lower half, ${showDuration(sum(seconds.slice(half)))} in the upper`;
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, each) => total + each, 0);
}
