// Line segments on a fine grid, two bytes a number: half of what they take otherwise, and off by less than a line is wide.

/** Where the grid begins, how far its steps are apart, and how many numbers there are. */
export interface LineGrid {
  readonly num: number;
  readonly lowMm: readonly [number, number, number];
  readonly stepMm: number;
}

const STEPS = 65_535;

/** `lines`: xyz interleaved. Off by half of 1/65,535 of the longest side of their box: 0.003 mm on a helm. Cost: two passes. */
export function onGrid(lines: Float32Array): { readonly grid: LineGrid; readonly steps: Uint16Array } {
  const low: [number, number, number] = [Infinity, Infinity, Infinity];
  const high: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < lines.length; i++) {
    const axis = i % 3;
    low[axis] = Math.min(low[axis]!, lines[i]!);
    high[axis] = Math.max(high[axis]!, lines[i]!);
  }
  if (lines.length === 0) return { grid: { num: 0, lowMm: [0, 0, 0], stepMm: 1 }, steps: new Uint16Array() };
  const longest = Math.max(high[0] - low[0], high[1] - low[1], high[2] - low[2]);
  const stepMm = longest === 0 ? 1 : longest / STEPS;
  const steps = Uint16Array.from(lines, (value, i) => Math.round((value - low[i % 3]!) / stepMm));
  return { grid: { num: lines.length, lowMm: low, stepMm }, steps };
}

/** The lines again. `steps`: as many as the grid says. */
export function offGrid({ lowMm, stepMm }: LineGrid, steps: Uint16Array): Float32Array {
  return Float32Array.from(steps, (step, i) => lowMm[i % 3]! + step * stepMm);
}
