// Turns closed contours into the straight moves a machine head would make: points that lie on a line within a tolerance are
// merged, and each move is kept as a length and the bend of the corner at its end. Places are forgotten.

/** Growing list of moves. Loop i has moves loopStart[i] .. loopStart[i + 1] - 1. */
export class MoveList {
  private lengths = new Float64Array(4096);
  private bends = new Float64Array(4096);
  private count = 0;
  private starts: number[] = [0];
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
   *  it is empty (cone intersection, Williams 1978). Weak: the first point is always kept.
   *  Returns by how many mm the contour shortens for each mm it is drawn inward (solid to its left): 2 tan(turn / 2) at
   *  corners that turn left, less the turn at those that turn right; 2 pi for any smooth outer contour. */
  addLoop(points: Float64Array, from: number, to: number): number {
    const tol = this.mergeMm;
    const startX = points[from * 2]!;
    const startY = points[from * 2 + 1]!;
    let [anchorX, anchorY] = [startX, startY];
    let [keptX, keptY, keptD] = [startX, startY, 0];
    let [lowX, lowY, highX, highY] = [0, 0, 0, 0];
    let coneSet = false;
    let [dirX, dirY] = [0, 0];
    let [firstDirX, firstDirY] = [0, 0];
    let loss = 0;
    const first = this.count;
    const emit = (x: number, y: number): void => {
      const dx = x - anchorX;
      const dy = y - anchorY;
      const d = Math.sqrt(dx * dx + dy * dy);
      if (d === 0) return;
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
    };
    for (let i = from + 1; i <= to; i++) {
      const at = i === to ? from : i;
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
          !coneSet || (d >= keptD - tol && d > tol && lowX * uy - lowY * ux >= 0 && ux * highY - uy * highX >= 0);
        if (!inside) {
          emit(keptX, keptY);
          anchorX = keptX;
          anchorY = keptY;
          keptD = 0;
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
        keptD = d;
        break;
      }
      keptX = x;
      keptY = y;
    }
    emit(startX, startY);
    this.starts.push(this.count);
    return this.count > first ? loss + insetLoss(dirX, dirY, firstDirX, firstDirY) : 0;
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
