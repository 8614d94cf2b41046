// One place for a key on the inside of both walls: its frame, its heights, and whether there is room at all.
import { heightOf, type Quadratic } from '../../../geometry/quadratic-fit.ts';
import { cross, dot, minus } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';
import { evenly } from './field-slab.ts';
import { frameAt, type InnerLine, inSpace, lineInFrame } from './inner-lines.ts';
import { castField, type EdgeLine, edgeAt, type KeyField, type KeyFrame, type NoField } from './key-field.ts';
import { type KeyGround, wallAt } from './key-ground.ts';
import type { SeamSection } from './seam-section.ts';

/** The room a key needs on the inside of both walls, mm. */
export interface KeyRoom {
  /** Of the key itself, along the seam. */
  readonly widthMm: number;
  /** Half of all it takes along the seam, with what stands beside it. */
  readonly halfMm: number;
  /** On either side of the seam. */
  readonly depthMm: number;
  /** Free over the wall. */
  readonly heightMm: number;
  readonly leastWallMm: number;
}

/** A place for a key. The frame is that of a key carried by the lower piece. */
export interface KeySite {
  readonly frame: KeyFrame;
  readonly edge: EdgeLine;
  readonly below: KeyField;
  readonly above: KeyField;
  readonly room: KeyRoom;
  /** Least wall under it. */
  readonly wallMm: number;
}

export type NoSite = NoField | 'corner or end' | 'thin' | 'rough' | 'another key';

/** A wall that stands off its smooth surface by more is no ground for a key. */
const ROUGH_MM = 1;

/** Where a key is looked for. */
export interface Looking {
  readonly section: SeamSection;
  readonly ground: KeyGround;
  readonly line: InnerLine;
}

export interface Grain {
  readonly stepMm: number;
  /** Between places where the wall is measured. */
  readonly wallMm: number;
  readonly firstMm: number;
}

/** To find places, and to draw on. */
export const COARSE: Grain = { stepMm: 3, wallMm: 6, firstMm: 0.3 };
export const FINE: Grain = { stepMm: 0.5, wallMm: 1, firstMm: 0.05 };

/** The site at a way along the line, or what stands against it. Cost: a ray for each point of the grid on either side. */
export function siteAt(looking: Looking, room: KeyRoom, way: number, grain: Grain): KeySite | NoSite {
  const { section, ground, line } = looking;
  const { n, seam } = section;
  const { at, along, inward } = frameAt(line, n, way, room.widthMm);
  const frame: KeyFrame = { at, along, into: n, inward };
  const seen = lineInFrame(line, way, room.halfMm + 1, frame);
  const edge: EdgeLine = {
    along: seen.filter((_, i) => i % 3 === 0),
    into: seen.filter((_, i) => i % 3 === 1),
    inward: seen.filter((_, i) => i % 3 === 2),
  };
  const grid = {
    alongMm: Float64Array.from(evenly(-room.halfMm, room.halfMm, grain.stepMm)),
    depthMm: Float64Array.from([grain.firstMm, ...evenly(grain.stepMm, room.depthMm, grain.stepMm)]),
    roomMm: room.heightMm,
    seen: ground.seen,
  };
  const below = castField(ground.pieces.get(seam.pieces[0])!, frame, edge, { ...grid, side: -1 });
  if (typeof below === 'string') return below;
  const above = castField(ground.pieces.get(seam.pieces[1])!, frame, edge, { ...grid, side: 1 });
  if (typeof above === 'string') return above;
  if (Math.max(below.overMm, below.underMm, above.overMm, above.underMm) > ROUGH_MM) return 'rough';
  const wallMm = Math.min(
    ...[below, above].map((field) => leastWall(ground, frame, edge, { field, stepMm: grain.wallMm })),
  );
  if (wallMm < room.leastWallMm) return 'thin';
  return { frame, edge, below, above, room, wallMm };
}

/** At places about `stepMm` apart. What is cut d deep leaves at least so much less d, by the triangle inequality. */
function leastWall(
  ground: KeyGround,
  frame: KeyFrame,
  edge: EdgeLine,
  of: { readonly field: KeyField; readonly stepMm: number },
): number {
  const { stepMm } = of;
  const { alongMm, depthMm, side, heights } = of.field;
  let least = Infinity;
  for (const i of stepped(alongMm, stepMm)) {
    const a = alongMm[i]!;
    const s0 = edgeAt(edge, edge.into, a);
    for (const j of stepped(depthMm, stepMm)) {
      const place = inSpace(frame, a, s0 + side * depthMm[j]!, heights[i * depthMm.length + j]!);
      least = Math.min(least, wallAt(ground, place));
    }
  }
  return least;
}

/** Places of values at least `stepMm` apart, with the first and the last. */
function stepped(values: Float64Array, stepMm: number): number[] {
  const out = [0];
  for (let i = 1; i < values.length; i++)
    if (i === values.length - 1 || values[i]! - values[out.at(-1)!]! >= stepMm - 1e-9) out.push(i);
  return out;
}

/** Whether the room of two keys has a place in common, with a mm between. */
export function overlap(one: KeySite, other: KeySite): boolean {
  const between = minus(one.frame.at, other.frame.at);
  if (Math.hypot(...between) > ballMm(one) + ballMm(other)) return false;
  return reachesInto(one, other) || reachesInto(other, one);
}

/** All of a key's room lies within so far of its place: in its box, and no higher or lower than its walls. */
function ballMm({ below, above, room: { halfMm, depthMm, heightMm, leastWallMm } }: KeySite): number {
  let highest = 0;
  for (const { heights } of [below, above]) for (const height of heights) highest = Math.max(highest, Math.abs(height));
  return Math.hypot(halfMm, depthMm, highest + Math.max(heightMm, leastWallMm)) + 2;
}

function reachesInto(one: KeySite, other: KeySite): boolean {
  const { halfMm, depthMm, heightMm } = one.room;
  for (const a of evenly(-halfMm, halfMm, 2)) {
    const s0 = edgeAt(one.edge, one.edge.into, a);
    for (const d of evenly(-depthMm, depthMm, 2)) {
      const h = heightOf((d < 0 ? one.below : one.above).smooth, a, d);
      for (const over of [0, heightMm / 2, heightMm])
        if (isIn(other, inSpace(one.frame, a, s0 + d, h + over))) return true;
    }
  }
  return false;
}

function isIn({ frame, edge, below, above, room }: KeySite, place: Vec3): boolean {
  const p = minus(place, frame.at);
  const a = dot(p, frame.along);
  const d = dot(p, frame.into) - edgeAt(edge, edge.into, a);
  if (Math.abs(a) > room.halfMm + 1 || Math.abs(d) > room.depthMm + 1) return false;
  const over = dot(p, frame.inward) - heightOf((d < 0 ? below : above).smooth, a, d);
  return over > -1 - room.leastWallMm && over < room.heightMm + 1;
}

/** A site as the key of one of its pieces sees it. */
export interface SideOfSite {
  readonly frame: KeyFrame;
  readonly edge: EdgeLine;
  /** Side -1. */
  readonly carrier: KeyField;
  /** Side 1. */
  readonly receiver: KeyField;
}

/** carrier: 0 for the lower piece of the seam, 1 for the upper. */
export function seenFrom(site: KeySite, carrier: 0 | 1): SideOfSite {
  const { frame, edge, below, above } = site;
  if (carrier === 0) return { frame, edge, carrier: below, receiver: above };
  const back = (v: Vec3): Vec3 => [-v[0], -v[1], -v[2]];
  const into = back(frame.into);
  return {
    frame: { at: frame.at, into, inward: frame.inward, along: cross(into, frame.inward) },
    edge: {
      along: edge.along.map((a) => -a).reverse(),
      into: edge.into.map((s) => -s).reverse(),
      inward: edge.inward.slice().reverse(),
    },
    carrier: turnedField(above),
    receiver: turnedField(below),
  };
}

function turnedField(field: KeyField): KeyField {
  const { alongMm, depthMm, side, heights, smooth } = field;
  const turned = new Float64Array(heights.length);
  for (let i = 0; i < alongMm.length; i++)
    for (let j = 0; j < depthMm.length; j++)
      turned[i * depthMm.length + j] = heights[(alongMm.length - 1 - i) * depthMm.length + j]!;
  const q: Quadratic = [smooth[0], -smooth[1], -smooth[2], smooth[3], smooth[4], smooth[5]];
  return {
    ...field,
    alongMm: alongMm.map((a) => -a).reverse(),
    side: side === 1 ? -1 : 1,
    heights: turned,
    smooth: q,
  };
}
