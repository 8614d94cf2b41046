// Turns closed contours into the straight moves a machine head would make: points that lie on a line within a tolerance are
// merged, and each move is kept as a length and the bend of the corner at its end. Places are forgotten.

/** Growing list of moves. Loop i has moves loopStart[i] .. loopStart[i + 1] - 1. */
export class MoveList {
  private lengths = new Float64Array(4096);
  private bends = new Float64Array(4096);
  private count = 0;
  private starts: number[] = [0];
  /** Points where moves of the loop in hand end. */
  private kept = new Uint32Array(1024);
  private readonly mergeMm: number;

  /** mergeMm: no dropped point lies farther than this from the line of the move that replaces it. */
  constructor(mergeMm: number) {
    this.mergeMm = mergeMm;
  }

  get numLoops(): number {
    return this.starts.length - 1;
  }

  /** Adds the closed loop points[2 * from] .. points[2 * to - 1]. Linear, one look at each point.
   *  Method: from each kept point a cone of directions that pass every skipped point within the tolerance is narrowed until
   *  it is empty (cone intersection, Williams 1978). The loop starts at its sharpest corner, which is
   *  kept: that is where the seam of a pass goes, and where the head stands still.
   *  Returns by how many mm the contour shortens for each mm it is drawn inward (solid to its left): 2 tan(turn / 2) at
   *  corners that turn left, less the turn at those that turn right; 2 pi for any smooth outer contour. */
  addLoop(points: Float64Array, from: number, to: number): number {
    const start = sharpestCorner(points, from, to);
    const numKept = this.keepCorners(points, { from, to, start });
    const { kept } = this;
    const first = this.count;
    let [x, y] = [points[start * 2]!, points[start * 2 + 1]!];
    let [dirX, dirY, firstDirX, firstDirY] = [0, 0, 0, 0];
    let loss = 0;
    for (let i = 0; i < numKept; i++) {
      const nextX = points[kept[i]! * 2]!;
      const nextY = points[kept[i]! * 2 + 1]!;
      const dx = nextX - x;
      const dy = nextY - y;
      const d = Math.sqrt(dx * dx + dy * dy);
      x = nextX;
      y = nextY;
      if (d === 0) continue;
      const ux = dx / d;
      const uy = dy / d;
      if (this.count > first) {
        this.bends[this.count - 1] = ((ux - dirX) * (ux - dirX) + (uy - dirY) * (uy - dirY)) / 4;
        loss += insetLoss(dirX, dirY, ux, uy);
      } else {
        firstDirX = ux;
        firstDirY = uy;
      }
      this.push(d);
      dirX = ux;
      dirY = uy;
    }
    this.starts.push(this.count);
    return this.count > first ? loss + insetLoss(dirX, dirY, firstDirX, firstDirY) : 0;
  }

  /** Fills `kept` with the points where moves end, the start last, and returns their number. */
  private keepCorners(
    points: Float64Array,
    loop: { readonly from: number; readonly to: number; readonly start: number },
  ): number {
    const tol = this.mergeMm;
    const { from, to, start } = loop;
    if (this.kept.length <= to - from) this.kept = new Uint32Array((to - from) * 2);
    const { kept } = this;
    let numKept = 0;
    let [anchorX, anchorY] = [points[start * 2]!, points[start * 2 + 1]!];
    let [last, lastX, lastY, lastD] = [start, anchorX, anchorY, 0];
    let [lowX, lowY, highX, highY] = [0, 0, 0, 0];
    let coneSet = false;
    let at = start;
    for (let i = from; i < to; i++) {
      at = at + 1 === to ? from : at + 1;
      const x = points[at * 2]!;
      const y = points[at * 2 + 1]!;
      for (;;) {
        const dx = x - anchorX;
        const dy = y - anchorY;
        const d = Math.sqrt(dx * dx + dy * dy);
        if (d <= tol && !coneSet) break;
        const ux = d > 0 ? dx / d : 0;
        const uy = d > 0 ? dy / d : 0;
        const inside =
          !coneSet || (d >= lastD - tol && d > tol && lowX * uy - lowY * ux >= 0 && ux * highY - uy * highX >= 0);
        if (!inside) {
          kept[numKept++] = last;
          anchorX = lastX;
          anchorY = lastY;
          lastD = 0;
          coneSet = false;
          continue;
        }
        const sin = tol / d;
        const cos = Math.sqrt(1 - sin * sin);
        const newHighX = ux * cos - uy * sin;
        const newHighY = uy * cos + ux * sin;
        const newLowX = ux * cos + uy * sin;
        const newLowY = uy * cos - ux * sin;
        if (!coneSet || newHighX * highY - newHighY * highX > 0) {
          highX = newHighX;
          highY = newHighY;
        }
        if (!coneSet || lowX * newLowY - lowY * newLowX > 0) {
          lowX = newLowX;
          lowY = newLowY;
        }
        coneSet = true;
        lastD = d;
        break;
      }
      last = at;
      lastX = x;
      lastY = y;
    }
    kept[numKept++] = start;
    return numKept;
  }

  /** The moves so far, without spare room. */
  moves(): { readonly lengthMm: Float64Array; readonly bend: Float64Array; readonly loopStart: Uint32Array } {
    return {
      lengthMm: this.lengths.slice(0, this.count),
      bend: this.bends.slice(0, this.count),
      loopStart: Uint32Array.from(this.starts),
    };
  }

  private push(lengthMm: number): void {
    if (this.count === this.lengths.length) {
      this.lengths = grown(this.lengths);
      this.bends = grown(this.bends);
    }
    this.lengths[this.count] = lengthMm;
    this.bends[this.count++] = 1;
  }
}

/** The first point at which the loop turns most, by an angle that matters. */
function sharpestCorner(points: Float64Array, from: number, to: number): number {
  let [px, py] = [points[to * 2 - 2]!, points[to * 2 - 1]!];
  let [ux, uy] = [0, 0];
  for (let i = to - 2; i >= from && ux === 0 && uy === 0; i--) {
    ux = px - points[i * 2]!;
    uy = py - points[i * 2 + 1]!;
  }
  const length = Math.sqrt(ux * ux + uy * uy);
  if (length === 0) return from;
  ux /= length;
  uy /= length;
  let sharpest = from;
  let least = 1;
  for (let i = from; i < to; i++) {
    // The corner at p, between the move that led there and the one from p to q.
    const qx = points[i * 2]!;
    const qy = points[i * 2 + 1]!;
    const dx = qx - px;
    const dy = qy - py;
    const d = Math.sqrt(dx * dx + dy * dy);
    if (d === 0) continue;
    const vx = dx / d;
    const vy = dy / d;
    const cos = ux * vx + uy * vy;
    if (cos < least - 1e-9) {
      least = cos;
      sharpest = i === from ? to - 1 : i - 1;
    }
    px = qx;
    py = qy;
    ux = vx;
    uy = vy;
  }
  return sharpest;
}

/** Spikes sharper than this (tangent of half the turn) vanish when drawn inward; they count as this much. */
const SHARPEST = 4;

function insetLoss(ux: number, uy: number, vx: number, vy: number): number {
  const sin = ux * vy - uy * vx;
  const cos = ux * vx + uy * vy;
  if (sin < 0) return Math.atan2(sin, cos);
  return 2 * Math.min(SHARPEST, sin / Math.max(1e-12, 1 + cos));
}

function grown(array: Float64Array<ArrayBuffer>): Float64Array<ArrayBuffer> {
  const larger = new Float64Array(array.length * 2);
  larger.set(array);
  return larger;
}
