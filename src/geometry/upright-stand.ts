// Whether a body stands in a room with one way up, turned about the vertical until it fits.
import type { Mesh, Vec3 } from '../mesh/mesh.ts';
import type { Transform } from '../mesh/transform.ts';
import { convexOutline, fitRectangle } from './min-rectangle.ts';
import { planeFrame } from './plane.ts';

/** What a body must lie in, mm. */
export interface Room {
  readonly widthMm: number;
  readonly depthMm: number;
  readonly heightMm: number;
}

/** The room on a bed: less the margin on every side of the bed plane, and of the height. */
export function roomOn(bedMm: Vec3, marginMm: number): Room {
  return {
    widthMm: bedMm[0] - 2 * marginMm,
    depthMm: bedMm[1] - 2 * marginMm,
    heightMm: bedMm[2] - marginMm,
  };
}

export interface UprightStand {
  /** Space of the body to laid space: smallest corner at 0,0,0. */
  readonly toLaid: Transform;
  /** Of positions rounded to single precision, as they are written. */
  readonly sizeMm: Vec3;
}

/** How a body stands with `up` upwards, turned to where it leaves most room; null where it does not fit. `outer`: points whose hull is that
 *  of the body, n x 3 (single precision will do). Cost: O(n log n + outline^2) for the turn, and a pass over the vertices where it fits.
 *  Method: docs/methods/fitting-pose.md. */
export function uprightStand(mesh: Mesh, outer: Float64Array, up: Vec3, room: Room): UprightStand | null {
  const turn = turnThatFits(outer, up, room);
  if (turn === null) return null;
  const stand = standTurned(mesh, turn);
  const [width, depth, height] = stand.sizeMm;
  return width > room.widthMm || depth > room.depthMm || height > room.heightMm ? null : stand;
}

/** By how much the body is too large for the room with this way up, mm; at most 0 where it fits. */
export function missingRoom(outer: Float64Array, up: Vec3, room: Room): number {
  const { flat, heightMm } = shadow(outer, up);
  const { roomMm } = fitRectangle(convexOutline(flat), room.widthMm, room.depthMm);
  return Math.max(heightMm - room.heightMm, -roomMm);
}

function shadow(outer: Float64Array, up: Vec3): { readonly flat: Float64Array; readonly heightMm: number } {
  const { u, v } = planeFrame(up);
  const flat = new Float64Array((outer.length / 3) * 2);
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < outer.length; i += 3) {
    const x = outer[i]!;
    const y = outer[i + 1]!;
    const z = outer[i + 2]!;
    const h = x * up[0] + y * up[1] + z * up[2];
    if (h < low) low = h;
    if (h > high) high = h;
    flat[(i / 3) * 2] = x * u[0] + y * u[1] + z * u[2];
    flat[(i / 3) * 2 + 1] = x * v[0] + y * v[1] + z * v[2];
  }
  return { flat, heightMm: high - low };
}

/** Turns looked at in a half turn; even. */
const NUM_TURNS = 48;

/** Whether points surely fit a rectangle by no turn: between two turns looked at, widths change by the points' diameter an arc at most.
 *  Cost: points x 48. */
function isTooWide(flat: Float64Array, { widthMm, depthMm }: Room): boolean {
  const wide = new Float64Array(NUM_TURNS);
  let mostMm = 0;
  for (let k = 0; k < NUM_TURNS; k++) {
    const cos = Math.cos((k * Math.PI) / NUM_TURNS);
    const sin = Math.sin((k * Math.PI) / NUM_TURNS);
    let low = Infinity;
    let high = -Infinity;
    for (let i = 0; i < flat.length; i += 2) {
      const at = flat[i]! * cos + flat[i + 1]! * sin;
      if (at < low) low = at;
      if (at > high) high = at;
    }
    wide[k] = high - low;
    if (wide[k]! > mostMm) mostMm = wide[k]!;
  }
  // the farthest two points lie within half a step of a turn looked at
  const diameterMm = mostMm / Math.cos(Math.PI / NUM_TURNS / 2);
  const slackMm = (diameterMm * Math.PI) / NUM_TURNS / 2;
  for (let k = 0; k < NUM_TURNS; k++) {
    const along = wide[(k + NUM_TURNS / 2) % NUM_TURNS]!;
    if (wide[k]! <= widthMm + slackMm && along <= depthMm + slackMm) return false;
  }
  return true;
}

/** Nine numbers of a turn, row-major, for row vectors. */
function turnThatFits(outer: Float64Array, up: Vec3, room: Room): readonly number[] | null {
  const { flat, heightMm } = shadow(outer, up);
  if (heightMm > room.heightMm || isTooWide(flat, room)) return null;
  const fit = fitRectangle(convexOutline(flat), room.widthMm, room.depthMm);
  if (fit.roomMm < 0) return null;
  const { u, v } = planeFrame(up);
  const cos = Math.cos(fit.angleRad);
  const sin = Math.sin(fit.angleRad);
  const x: Vec3 = [cos * u[0] + sin * v[0], cos * u[1] + sin * v[1], cos * u[2] + sin * v[2]];
  const y: Vec3 = [cos * v[0] - sin * u[0], cos * v[1] - sin * u[1], cos * v[2] - sin * u[2]];
  return [x[0], y[0], up[0], x[1], y[1], up[1], x[2], y[2], up[2]];
}

/** The shift that brings the smallest corner to 0,0,0, and the box of the positions as single precision holds them. */
function standTurned(mesh: Mesh, turn: readonly number[]): UprightStand {
  const p = mesh.positions;
  const t = Float64Array.from(turn);
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < p.length; i += 3) {
    for (let c = 0; c < 3; c++) {
      const q = p[i]! * t[c]! + p[i + 1]! * t[3 + c]! + p[i + 2]! * t[6 + c]!;
      if (q < low[c]!) low[c] = q;
      if (q > high[c]!) high[c] = q;
    }
  }
  return {
    toLaid: [...turn, -low[0]!, -low[1]!, -low[2]!],
    sizeMm: [Math.fround(high[0]! - low[0]!), Math.fround(high[1]! - low[1]!), Math.fround(high[2]! - low[2]!)],
  };
}
