// The drawing of one joint at true proportions: through the middle of a key, and across it where it reaches into the other piece.
import {
  NAME_MM,
  type SectionName,
  type SectionView,
  sectionSheet,
  VIEW_GAP_MM,
  WORD_MM,
} from '../../documents/drawing/section-drawing.ts';
import {
  insideAlong,
  meetsWindow,
  type SectionPart,
  type SectionWindow,
} from '../../documents/drawing/section-lines.ts';
import { drawnHeights, freePlace, wallMiddle } from '../../documents/drawing/section-room.ts';
import { sectionByPlane } from '../../geometry/plane-section.ts';
import { dot } from '../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import type { Joint, Key, KeyKind } from '../../workshop/process/joints-record.ts';
import { boughtOutlines } from './bought-outlines.ts';

export interface JointPart {
  readonly id: string;
  readonly mesh: Mesh;
}

/** Width of the sheet, mm: that of the text in print. */
const SHEET_MM = 128;
/** Paper over model at most; larger, a thin wall shows nothing more. */
const MOST_SCALE = 3;
/** Shown beyond the key's reach, and beyond the stops beside it. */
const BEYOND_MM = 8;
const BESIDE_MM = 8;
/** About the wall and the key. */
const ABOUT_MM = 6;
/** A piece with less wall than this at a place has no letter there. */
const LEAST_WALL_MM = 0.8;
const BAR_MM = 10;

const LOOSE_WORDS: Readonly<Partial<Record<KeyKind, string>>> = {
  strip: 'splice',
  rod: 'rod',
  magnet: 'magnet',
  screw: 'screw',
};

/** `parts`: the keyed pieces and loose parts, by their id; `boughtMm`: the length of what is bought, see boughtOutlines. Of the keys the middle one is
 *  drawn. Cost: two plane sections of every part. */
export function drawJoint(joint: Joint, parts: readonly JointPart[], boughtMm = 0): string {
  const key = joint.keys[Math.floor(joint.keys.length / 2)]!;
  const up: Vec3 = [-key.inward[0], -key.inward[1], -key.inward[2]];
  const through: CutPlane = { normal: key.along, at: key.atMm, across: key.into, up };
  const halfway = key.reachMm / 2;
  const at = key.atMm.map((c, axis) => c + halfway * key.into[axis as 0 | 1 | 2]) as unknown as Vec3;
  const across: CutPlane = { normal: key.into, at, across: key.along, up };
  const halves = [key.reachMm + BEYOND_MM, key.widthMm / 2 + BESIDE_MM] as const;
  const scale = Math.min(MOST_SCALE, Math.floor((10 * (SHEET_MM - VIEW_GAP_MM)) / (2 * (halves[0] + halves[1]))) / 10);
  const bought = boughtOutlines(key, boughtMm);
  const long = framed([...cutBy(parts, through, key), ...boughtPart(bought.through, key)], {
    half: halves[0],
    joint,
    key,
    scale,
  });
  const wide = framed([...cutBy(parts, across, key), ...boughtPart(bought.across, key)], {
    half: halves[1],
    joint,
    key,
    scale,
  });
  const views = [
    { ...long, names: namesAlong(long, { joint, key, scale }), caption: 'through the middle of it' },
    { ...wide, names: namesAcross(wide, { joint, key, scale }), caption: 'across it, at half its reach' },
  ];
  return sectionSheet(views, {
    scale,
    barMm: BAR_MM,
    title: `Section through a key of ${joint.seam}: ${key.carrier} to the left, ${key.receiver} to the right, the outside above; beside it a section across the same key`,
  });
}

interface CutPlane {
  readonly normal: Vec3;
  readonly at: Vec3;
  /** To the right on paper. */
  readonly across: Vec3;
  readonly up: Vec3;
}

function cutBy(parts: readonly JointPart[], { normal, at, across, up }: CutPlane, key: Key): SectionPart[] {
  return parts.map(({ id, mesh }): SectionPart => {
    const { outlines } = sectionByPlane(mesh, { normal, offsetMm: dot(normal, at) });
    return { id, loops: outlines.map((outline) => flattened(outline, at, { across, up })), ...hatchOf(id, key) };
  });
}

function boughtPart(loops: readonly Float64Array[], key: Key): SectionPart[] {
  return loops.length === 0 ? [] : [{ id: 'bought', loops, ...hatchOf('bought', key) }];
}

function flattened(
  outline: Float64Array,
  from: Vec3,
  { across, up }: { readonly across: Vec3; readonly up: Vec3 },
): Float64Array {
  const flat = new Float64Array((outline.length / 3) * 2);
  for (let i = 0, j = 0; i < outline.length; i += 3, j += 2) {
    const p: Vec3 = [outline[i]! - from[0], outline[i + 1]! - from[1], outline[i + 2]! - from[2]];
    flat[j] = dot(p, across);
    flat[j + 1] = dot(p, up);
  }
  return flat;
}

function hatchOf(id: string, { carrier, receiver }: Key): Pick<SectionPart, 'hatchDeg' | 'hatchMm'> {
  if (id === carrier) return { hatchDeg: 45, hatchMm: 1.1 };
  return id === receiver ? { hatchDeg: -45, hatchMm: 1.1 } : { hatchDeg: 45, hatchMm: 0.5 };
}

interface Naming {
  readonly joint: Joint;
  readonly key: Key;
  readonly scale: number;
}

type Framed = Pick<SectionView, 'parts' | 'minMm' | 'maxMm'>;

/** As high as what is drawn about the key, with a line of words above and below. */
function framed(parts: readonly SectionPart[], by: Naming & { readonly half: number }): Framed {
  const { half, joint, key, scale } = by;
  const reach = joint.wallMm + key.thickMm + ABOUT_MM;
  const most: SectionWindow = { minMm: [-half, -reach], maxMm: [half, reach] };
  // other keys of the seam, and loose parts in them, are not in this drawing
  const near = parts.filter(({ loops }) => loops.some((loop) => meetsWindow(loop, most)));
  const [low, high] = drawnHeights(near, most) ?? [-reach, reach];
  const line = (WORD_MM + 1.6) / scale;
  return { parts: near, minMm: [-half, low - line], maxMm: [half, high + line] };
}

/** Through the key: letters in both walls, the sides of the wall, what is loose, and how much clearance there is where it registers. */
function namesAlong(view: Framed, naming: Naming): SectionName[] {
  const { key, scale } = naming;
  const right = view.maxMm[0];
  const letters = [
    letterOf(view, key.carrier, { xs: stepsFrom(-right + NAME_MM / scale, 0), naming }),
    letterOf(view, key.receiver, { xs: stepsFrom(right - NAME_MM / scale, 0), naming }),
  ];
  const gap = isRound(key)
    ? gapAt(
        view,
        key,
        [0.6, 0.5, 0.7, 0.4, 0.3, 0.8].map((share) => share * key.reachMm),
      )
    : null;
  const words: Word[] = [
    { text: 'outside', side: 1, nearX: 0 },
    { text: 'inside', side: -1, nearX: -right },
    ...(gap === null
      ? []
      : [{ text: `${key.clearanceMm.toFixed(2)} mm clear`, side: -1, nearX: right, to: gap } as const]),
    ...looseWord(view, key),
  ];
  return [...letters.flat(), ...wordsIn(view, words, scale)];
}

/** Across the key: letters in the receiver's wall and, where it is thick enough, in the key. */
function namesAcross(view: Framed, naming: Naming): SectionName[] {
  const { key, scale } = naming;
  const right = view.maxMm[0];
  const gap = isRound(key) ? null : sideGap(view, key);
  const besides = stepsFrom(right - NAME_MM / scale, isRound(key) ? key.widthMm / 2 : 0);
  return [
    ...letterOf(view, key.receiver, { xs: [...besides.map((x) => -x), ...besides], naming }),
    ...letterOf(view, key.carrier, { xs: [0], naming }),
    ...wordsIn(view, [{ text: 'outside', side: 1, nearX: 0 }, ...clearWord(key, gap, 0)], scale),
  ];
}

function isRound({ kind }: Key): boolean {
  return kind === 'pin' || kind === 'rod' || kind === 'magnet' || kind === 'screw';
}

function clearWord({ clearanceMm }: Key, gap: readonly [number, number] | null, nearX: number): Word[] {
  return gap === null ? [] : [{ text: `${clearanceMm.toFixed(2)} mm clear`, side: -1, nearX, to: gap }];
}

/** Between the right side of a flat key and what stops it there, at half the height of the key. */
function sideGap(view: Framed, { carrier, receiver, widthMm, clearanceMm }: Key): readonly [number, number] | null {
  const key =
    view.parts.find(({ id }) => id !== receiver && id !== carrier) ?? view.parts.find(({ id }) => id === carrier);
  const stop = view.parts.find(({ id }) => id === receiver);
  const inner = widthMm / 2 - 1;
  const heights = key === undefined ? [] : insideAlong(key.loops, [inner, 0], [0, 1]);
  for (const [low, high] of heights) {
    const y = (low + high) / 2;
    const end = insideAlong(key!.loops, [0, y], [1, 0]).find(([from, to]) => from < inner && to > inner)?.[1];
    const start = insideAlong(stop?.loops ?? [], [0, y], [1, 0]).find(
      ([from]) => end !== undefined && from >= end,
    )?.[0];
    if (end !== undefined && start !== undefined && start - end < 4 * clearanceMm + 0.2) return [(start + end) / 2, y];
  }
  return null;
}

function stepsFrom(x: number, to: number): number[] {
  return Array.from({ length: 9 }, (_, i) => x + ((to - x) * i) / 12);
}

function letterOf(
  view: Framed,
  id: string,
  { xs, naming }: { readonly xs: readonly number[]; readonly naming: Naming },
): SectionName[] {
  const part = view.parts.find((each) => each.id === id);
  if (part === undefined) return [];
  const by = { ...view, nearY: naming.joint.wallMm / 2, leastMm: LEAST_WALL_MM };
  const half = (0.4 * NAME_MM) / naming.scale;
  for (const x of xs) {
    const [left, at, right] = [x - half, x, x + half].map((place) => wallMiddle(part, place, by));
    if (left && at && right) return [{ text: id, x: at[0], y: at[1] }];
  }
  return [];
}

interface Word {
  readonly text: string;
  readonly side: 1 | -1;
  readonly nearX: number;
  readonly to?: readonly [number, number];
}

/** Width of a letter over its height, about. */
const LETTER_SHARE = 0.52;

function wordsIn(view: Framed, words: readonly Word[], scale: number): SectionName[] {
  const taken: Record<1 | -1, [number, number][]> = { 1: [], [-1]: [] };
  return words.flatMap(({ text, side, nearX, to }): SectionName[] => {
    const widthMm = (LETTER_SHARE * WORD_MM * text.length + 2) / scale;
    const box = { widthMm, heightMm: (WORD_MM + 1) / scale, side, nearX, taken: taken[side] };
    const at = freePlace(view.parts, view, box);
    if (at === null) return [];
    taken[side].push([at[0], widthMm]);
    return [{ text, x: at[0], y: at[1], quiet: true, ...(to === undefined ? {} : { to }) }];
  });
}

/** The middle of the gap between what is round and the receiver, at the first of these places that has one; of several gaps the one
 *  nearest to the outside, where it registers. */
function gapAt(
  view: Framed,
  { receiver, carrier, clearanceMm }: Key,
  xs: readonly number[],
): readonly [number, number] | null {
  const theirs = view.parts.find(({ id }) => id === receiver);
  if (theirs === undefined || clearanceMm <= 0) return null;
  for (const x of xs) {
    const walls = insideAlong(theirs.loops, [x, 0], [0, 1]);
    const keys = view.parts
      .filter(({ id }) => id !== receiver)
      .flatMap(({ id, loops }) => insideAlong(loops, [x, 0], [0, 1]).map((stretch) => ({ id, stretch })))
      .filter(({ id }) => id === carrier || view.parts.length > 2);
    const gaps = keys.flatMap(({ stretch: [, top] }) =>
      walls.flatMap(([bottom]) =>
        bottom > top && bottom - top < 3 * clearanceMm + 0.2 ? [[x, (top + bottom) / 2] as const] : [],
      ),
    );
    const inView = gaps.filter(([, y]) => y > view.minMm[1] && y < view.maxMm[1]);
    if (inView.length > 0) return inView.reduce((one, other) => (other[1] > one[1] ? other : one));
  }
  return null;
}

/** What is neither of the two pieces has a word with a line to it. */
function looseWord(view: Framed, key: Key): Word[] {
  const text = LOOSE_WORDS[key.kind];
  const loose = view.parts.find(({ id }) => id !== key.carrier && id !== key.receiver);
  if (text === undefined || loose === undefined) return [];
  const at = wallMiddle(loose, -0.3 * key.reachMm, { ...view, nearY: 0, leastMm: 0.2 });
  return at === null ? [] : [{ text, side: -1, nearX: 0, to: at }];
}
