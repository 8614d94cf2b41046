// Lines on paper: smoothed, thinned out, measured, and spelled as SVG path data.

/** Rounds off the steps of a traced line by repeated [1 2 1]/4 averaging; the ends of an open line stay. */
export function smoothLine(points: Float32Array, options: { closed: boolean; passes: number }): Float32Array {
  let from = Float32Array.from(points);
  let to = Float32Array.from(points);
  const n = points.length / 2;
  for (let pass = 0; pass < options.passes; pass++) {
    for (let i = 0; i < n; i++) {
      if (!options.closed && (i === 0 || i === n - 1)) continue;
      const a = ((i + n - 1) % n) * 2;
      const b = ((i + 1) % n) * 2;
      to[i * 2] = (from[a]! + 2 * from[i * 2]! + from[b]!) / 4;
      to[i * 2 + 1] = (from[a + 1]! + 2 * from[i * 2 + 1]! + from[b + 1]!) / 4;
    }
    [from, to] = [to, from];
  }
  return from;
}

/** Leaves out points that lie within `tolerance` of the line without them.  Method: Douglas and Peucker 1973, with a stack. */
export function simplifyLine(points: Float32Array, tolerance: number): Float32Array {
  const n = points.length / 2;
  if (n < 3) return points;
  const keep = new Uint8Array(n);
  keep[0] = 1;
  keep[n - 1] = 1;
  const stack = [0, n - 1];
  while (stack.length > 0) {
    const last = stack.pop()!;
    const first = stack.pop()!;
    const far = farthest(points, first, last);
    if (far.index < 0 || far.distance <= tolerance) continue;
    keep[far.index] = 1;
    stack.push(first, far.index, far.index, last);
  }
  const out: number[] = [];
  for (let i = 0; i < n; i++) if (keep[i] === 1) out.push(points[i * 2]!, points[i * 2 + 1]!);
  return Float32Array.from(out);
}

/** Diagonal of the box around a line: unlike its length, small for a zigzag. */
export function lineExtent(points: Float32Array): number {
  let lowX = Infinity;
  let highX = -Infinity;
  let lowY = Infinity;
  let highY = -Infinity;
  for (let i = 0; i < points.length; i += 2) {
    lowX = Math.min(lowX, points[i]!);
    highX = Math.max(highX, points[i]!);
    lowY = Math.min(lowY, points[i + 1]!);
    highY = Math.max(highY, points[i + 1]!);
  }
  return points.length === 0 ? 0 : Math.hypot(highX - lowX, highY - lowY);
}

/** Path data in paper mm: one absolute start, then relative steps in hundredths, without needless characters. */
export function pathData(points: Float32Array, closed: boolean): string {
  if (points.length < 4) return '';
  let x = Math.round(points[0]! * 100);
  let y = Math.round(points[1]! * 100);
  let d = `M${spell(x)}${spaced(y)}`;
  let first = true;
  for (let i = 2; i < points.length; i += 2) {
    const nx = Math.round(points[i]! * 100);
    const ny = Math.round(points[i + 1]! * 100);
    if (nx === x && ny === y) continue;
    d += `${first ? 'l' : nx - x < 0 ? '' : ' '}${spell(nx - x)}${spaced(ny - y)}`;
    first = false;
    x = nx;
    y = ny;
  }
  if (first) return '';
  return closed ? `${d}z` : d;
}

function farthest(points: Float32Array, first: number, last: number): { index: number; distance: number } {
  const ax = points[first * 2]!;
  const ay = points[first * 2 + 1]!;
  const dx = points[last * 2]! - ax;
  const dy = points[last * 2 + 1]! - ay;
  const length = Math.hypot(dx, dy);
  let index = -1;
  let distance = -1;
  for (let i = first + 1; i < last; i++) {
    const px = points[i * 2]! - ax;
    const py = points[i * 2 + 1]! - ay;
    const along = length > 0 ? (px * dx + py * dy) / length : 0;
    const off =
      length === 0 || along < 0
        ? Math.hypot(px, py)
        : along > length
          ? Math.hypot(px - dx, py - dy)
          : Math.abs(px * dy - py * dx) / length;
    if (off > distance) {
      distance = off;
      index = i;
    }
  }
  return { index, distance };
}

function spell(hundredths: number): string {
  const text = String(hundredths / 100);
  return text.startsWith('0.') ? text.slice(1) : text.startsWith('-0.') ? `-${text.slice(2)}` : text;
}

function spaced(hundredths: number): string {
  const text = spell(hundredths);
  return text.startsWith('-') ? text : ` ${text}`;
}
