// Where each piece stands in the figure: together, drawn apart, or side by side as it lies on its machine.
import { Matrix4, Quaternion, Vector3 } from 'three';
import type { FigureData, FigurePart, FigureShape } from '../api/figure-codec.ts';
import type { Arrangement } from './figure-shown.ts';

/** How a piece is turned, and where its middle stands. */
export interface PiecePose {
  readonly turn: Quaternion;
  readonly middle: Vector3;
}

const AS_READ = 'as-read';

/** All that can be shown: the pieces, and behind them the model as it came, with its open edges for seams. */
export function surfacesOf({ parts, asRead }: FigureData): readonly FigurePart[] {
  if (asRead === null) return parts;
  const { positions, triangles, creases, openEdges, coarse } = asRead;
  const shape = { positions, triangles, creases, coarse, seams: openEdges, exposure: null };
  return [...parts, { id: AS_READ, name: '', ...shape, apart: [0, 0, 1], apartMm: 0, joined: null, toLaid: null }];
}

export function isAsRead(part: FigurePart): boolean {
  return part.id === AS_READ;
}

/** The few triangles of a part, for what need not be exact. */
export function roughShape(part: FigurePart): FigureShape {
  return part.coarse ?? part;
}

export interface PartShape {
  readonly part: FigurePart;
  /** Middle of its box, model space. */
  readonly middle: Vector3;
  /** Its outermost points, xyz, for fitting it into the view. */
  readonly sample: Float32Array;
}

export function partShape(part: FigurePart): PartShape {
  const { positions } = roughShape(part);
  const low = new Vector3(Infinity, Infinity, Infinity);
  const high = new Vector3(-Infinity, -Infinity, -Infinity);
  const point = new Vector3();
  for (let i = 0; i < positions.length; i += 3) {
    point.fromArray(positions, i);
    low.min(point);
    high.max(point);
  }
  return { part, middle: low.add(high).multiplyScalar(0.5), sample: farthestPoints(positions) };
}

const WAYS = 160;

/** The farthest point in each of many directions, evenly spread: what the view must have room for, however the points are ordered.
 *  Between the directions at most a hundredth of the radius is missed. Cost: O(points x ways), about 20 ms for 70 thousand points. */
function farthestPoints(positions: Float32Array): Float32Array {
  const out = new Float32Array(positions.length === 0 ? 0 : WAYS * 3);
  for (let way = 0; way * 3 < out.length; way++) {
    const z = 1 - (2 * way + 1) / WAYS;
    const flat = Math.sqrt(1 - z * z);
    const turn = way * 2.399963;
    const x = flat * Math.cos(turn);
    const y = flat * Math.sin(turn);
    let best = 0;
    let most = -Infinity;
    for (let i = 0; i < positions.length; i += 3) {
      const reach = positions[i]! * x + positions[i + 1]! * y + positions[i + 2]! * z;
      if (reach > most) {
        most = reach;
        best = i;
      }
    }
    out.set(positions.subarray(best, best + 3), way * 3);
  }
  return out;
}

export function posesOf(shapes: readonly PartShape[], arrangement: Arrangement, apart: number): PiecePose[] {
  const parts = shapes.filter(({ part }) => !isAsRead(part));
  const asRead = shapes.slice(parts.length).map(({ middle }) => ({ turn: new Quaternion(), middle }));
  return [...partPoses(parts, arrangement, apart), ...asRead];
}

function partPoses(shapes: readonly PartShape[], arrangement: Arrangement, apart: number): PiecePose[] {
  if (arrangement === 'laid') return laidPoses(shapes);
  if (arrangement === 'by-joins') return joinedPoses(shapes, apart);
  const share = arrangement === 'apart' ? apart : 0;
  return shapes.map(({ part, middle }) => ({
    turn: new Quaternion(),
    middle: new Vector3(...part.apart).multiplyScalar(part.apartMm * share).add(middle),
  }));
}

function joinedPoses(shapes: readonly PartShape[], share: number): PiecePose[] {
  return shapes.map(({ part, middle }) => ({
    turn: new Quaternion(),
    middle: new Vector3(...(part.joined?.shiftMm ?? [0, 0, 0])).multiplyScalar(share).add(middle),
  }));
}

const GAP_MM = 28;
/** Laid pieces are looked at from this high. */
export const LAID_ELEVATION_DEG = 50;
const RISE = (LAID_ELEVATION_DEG * Math.PI) / 180;
/** A piece hides what lies behind it by about this share of its height. */
const HIDES = 0.85;
/** The plate beside the text, less its labels: width over height. */
const PLATE_SHAPE = 0.66;

/** Rows from the back to the front, each piece on the ground. */
function laidPoses(shapes: readonly PartShape[]): PiecePose[] {
  const poses: PiecePose[] = [];
  let front = 0;
  for (const row of laidRows(shapes.map(laidShape))) {
    const widthMm = row.reduce((sum, { size }) => sum + size.x + GAP_MM, -GAP_MM);
    front -= Math.max(...row.map(({ size }) => size.y + HIDES * size.z)) + GAP_MM;
    let x = -widthMm / 2;
    for (const { size, turn, middle } of row) {
      poses.push({ turn, middle: new Vector3(x + middle.x, front + middle.y, middle.z) });
      x += size.x + GAP_MM;
    }
  }
  return poses;
}

interface LaidShape {
  readonly size: Vector3;
  readonly turn: Quaternion;
  readonly middle: Vector3;
}

/** Of rows of several widths those that come out largest on the plate. */
function laidRows(laid: readonly LaidShape[]): LaidShape[][] {
  const widest = Math.max(...laid.map(({ size }) => size.x));
  const total = laid.reduce((sum, { size }) => sum + size.x + GAP_MM, 0);
  let best: { rows: LaidShape[][]; extent: number } | null = null;
  for (let share = 1; share <= laid.length; share++) {
    const rows = rowsOf(laid, Math.max(widest, total / share));
    const extent = extentOf(rows);
    if (best === null || extent < best.extent) best = { rows, extent };
  }
  return best?.rows ?? [];
}

function rowsOf(laid: readonly LaidShape[], rowMm: number): LaidShape[][] {
  const rows: LaidShape[][] = [];
  let x = Infinity;
  for (const each of laid) {
    if (x + each.size.x > rowMm) {
      rows.push([]);
      x = 0;
    }
    rows.at(-1)!.push(each);
    x += each.size.x + GAP_MM;
  }
  return rows;
}

/** Height on the plate that the rows need, by depth or by width. */
function extentOf(rows: readonly (readonly LaidShape[])[]): number {
  const width = Math.max(...rows.map((row) => row.reduce((sum, { size }) => sum + size.x + GAP_MM, 0)));
  const depth = rows.reduce(
    (sum, row) => sum + GAP_MM + Math.max(...row.map(({ size }) => size.y + HIDES * size.z)),
    0,
  );
  return Math.max(depth * Math.sin(RISE), width / PLATE_SHAPE);
}

function laidShape({ part, middle }: PartShape): LaidShape {
  const toLaid = laidMatrix(part.toLaid ?? [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0]);
  const { positions } = roughShape(part);
  const size = new Vector3();
  const point = new Vector3();
  for (let i = 0; i < positions.length; i += 3) {
    point.fromArray(positions, i).applyMatrix4(toLaid);
    size.max(point);
  }
  return {
    size,
    turn: new Quaternion().setFromRotationMatrix(toLaid),
    middle: middle.clone().applyMatrix4(toLaid),
  };
}

/** The record's rows are for row vectors; three wants columns. */
function laidMatrix(t: readonly number[]): Matrix4 {
  const at = (index: number): number => t[index]!;
  return new Matrix4().set(
    at(0),
    at(3),
    at(6),
    at(9),
    at(1),
    at(4),
    at(7),
    at(10),
    at(2),
    at(5),
    at(8),
    at(11),
    0,
    0,
    0,
    1,
  );
}

export function betweenPoses(from: PiecePose, to: PiecePose, share: number): PiecePose {
  return {
    turn: from.turn.clone().slerp(to.turn, share),
    middle: from.middle.clone().lerp(to.middle, share),
  };
}

/** Model space to where the piece stands. */
export function poseMatrix(pose: PiecePose, { middle }: PartShape): Matrix4 {
  const shift = middle.clone().negate().applyQuaternion(pose.turn).add(pose.middle);
  return new Matrix4().makeRotationFromQuaternion(pose.turn).setPosition(shift);
}
