// Points of a plane in square cells: which are near a place.

/** points: n x 2. Cost to build: O(n); a question looks at the cells its radius touches. */
export class PointGrid {
  private readonly points: Float64Array;
  private readonly cellMm: number;
  private readonly low: readonly [number, number];
  private readonly cols: number;
  private readonly rows: number;
  private readonly start: Uint32Array;
  private readonly order: Uint32Array;

  constructor(points: Float64Array, cellMm: number) {
    this.points = points;
    const num = points.length / 2;
    const low: [number, number] = [Infinity, Infinity];
    const high: [number, number] = [-Infinity, -Infinity];
    for (let i = 0; i < num; i++) {
      for (const c of [0, 1] as const) {
        low[c] = Math.min(low[c], points[i * 2 + c]!);
        high[c] = Math.max(high[c], points[i * 2 + c]!);
      }
    }
    this.low = low;
    const span = num === 0 ? 0 : Math.max(high[0] - low[0], high[1] - low[1]);
    this.cellMm = Math.max(cellMm, span / MOST_CELLS);
    this.cols = num === 0 ? 0 : 1 + Math.floor((high[0] - low[0]) / this.cellMm);
    this.rows = num === 0 ? 0 : 1 + Math.floor((high[1] - low[1]) / this.cellMm);
    this.start = new Uint32Array(this.cols * this.rows + 1);
    this.order = new Uint32Array(num);
    const cellOf = Uint32Array.from({ length: num }, (_, i) => {
      const x = Math.floor((points[i * 2]! - low[0]) / this.cellMm);
      const y = Math.floor((points[i * 2 + 1]! - low[1]) / this.cellMm);
      return y * this.cols + x;
    });
    for (const cell of cellOf) this.start[cell + 1]!++;
    for (let c = 0; c < this.cols * this.rows; c++) this.start[c + 1]! += this.start[c]!;
    const next = this.start.slice();
    cellOf.forEach((cell, i) => {
      this.order[next[cell]!++] = i;
    });
  }

  /** Calls for every point within the radius, with its squared distance; always in the same order. */
  eachWithin(x: number, y: number, radius: number, call: (point: number, d2: number) => void): void {
    const x0 = Math.max(0, Math.floor((x - radius - this.low[0]) / this.cellMm));
    const x1 = Math.min(this.cols - 1, Math.floor((x + radius - this.low[0]) / this.cellMm));
    const y0 = Math.max(0, Math.floor((y - radius - this.low[1]) / this.cellMm));
    const y1 = Math.min(this.rows - 1, Math.floor((y + radius - this.low[1]) / this.cellMm));
    for (let cy = y0; cy <= y1; cy++) {
      for (let k = this.start[cy * this.cols + x0]!; x0 <= x1 && k < this.start[cy * this.cols + x1 + 1]!; k++) {
        const i = this.order[k]!;
        const dx = this.points[i * 2]! - x;
        const dy = this.points[i * 2 + 1]! - y;
        const d2 = dx * dx + dy * dy;
        if (d2 <= radius * radius) call(i, d2);
      }
    }
  }

  /** Distance to the nearest point, or `most` when none is nearer. */
  nearestWithin(x: number, y: number, most: number): number {
    for (let radius = this.cellMm; ; radius *= 2) {
      const reach = Math.min(radius, most);
      let best2 = Infinity;
      this.eachWithin(x, y, reach, (_, d2) => {
        if (d2 < best2) best2 = d2;
      });
      if (best2 < Infinity) return Math.sqrt(best2);
      if (reach === most) return most;
    }
  }
}

/** Along one axis; more would cost memory for nothing. */
const MOST_CELLS = 400;
