// Joints by chance for trying play: straight walls, tabs with stops or pockets, and pins in sockets, out of boxes and prisms; their contacts
// are said by hand, from the sizes, not read off the meshes.
import type { Contacts } from '../../../src/geometry/contact-play.ts';
import { box, cylinder, together, tube } from '../../../src/mesh/builders.ts';
import type { Mesh, Vec3 } from '../../../src/mesh/mesh.ts';
import {
  applyTransform,
  chainTransforms,
  type Transform,
  transformMesh,
  turnVector,
} from '../../../src/mesh/transform.ts';
import type { KeySolids } from '../../../src/workshop/pieces/joints/key-solids.ts';
import {
  type SeamSection,
  type SectionLoop,
  SIDE_INNER,
  SIDE_OUTER,
  SIDE_SEAM,
} from '../../../src/workshop/pieces/joints/seam-section.ts';
import type { Key } from '../../../src/workshop/process/joints-record.ts';
import { place, turnedAbout } from './poses.ts';

export interface RandomJoint {
  /** The first piece of the seam, below, and the second. */
  readonly below: Mesh;
  readonly above: Mesh;
  readonly keys: readonly KeySolids[];
  readonly section: SeamSection;
}

const WALL_MM = 3;
const HIGH_MM = 30;

/** A wall in its own frame: x along it, y from its inner face to the inside, z across the seam, which is z = 0. */
interface Wall {
  readonly lengthMm: number;
  readonly pose: Transform;
}

/** One side of a key. */
interface MadeKey {
  readonly carrier: readonly Mesh[];
  readonly receiver: readonly Mesh[];
  readonly contacts: readonly (readonly [point: Vec3, normal: Vec3, gapMm: number])[];
}

/** Every gap is `looserMm` more than drawn. The same numbers from `random` give the same joint. */
export function randomJoint(random: () => number, options = { looserMm: 0 }): RandomJoint {
  const between = (low: number, high: number): number => low + (high - low) * random();
  const whole = chainTransforms(
    turnedAbout([between(-1, 1), between(-1, 1), between(-1, 1)], between(0, 3)),
    place([between(-100, 100), between(-100, 100), between(-100, 100)]),
  );
  const walls = wallsAround(1 + Math.floor(random() * 3), between);
  const kind = (['stops', 'pocket', 'seat'] as const)[Math.floor(random() * 3)]!;
  const gap = (): number => between(0.1, 0.35) + options.looserMm;
  const [below, above]: [Mesh[], Mesh[]] = [[], []];
  const keys: KeySolids[] = [];
  for (const { lengthMm, pose } of walls) {
    const toModel = chainTransforms(pose, whole);
    const put = (meshes: readonly Mesh[]): Mesh[] => meshes.map((mesh) => transformMesh(toModel, mesh));
    below.push(...put([box([0, -WALL_MM, -HIGH_MM], [lengthMm, 0, 0])]));
    above.push(...put([box([0, -WALL_MM, 0], [lengthMm, 0, HIGH_MM])]));
    const num = Math.max(2, Math.round(lengthMm / between(25, 45)));
    for (let i = 0; i < num; i++) {
      const at = ((i + between(0.4, 0.6)) / num) * lengthMm;
      const isUp = kind === 'pocket' || i % 2 === 0;
      // A key carried by the piece below is one carried from above, turned over: x and z change their signs.
      const own = isUp ? place([at, 0, 0]) : chainTransforms([-1, 0, 0, 0, 1, 0, 0, 0, -1, 0, 0, 0], place([at, 0, 0]));
      const made = kind === 'seat' ? pin({ between, gap }) : tab({ between, gap, kind });
      const keyToModel = chainTransforms(own, toModel);
      const parts = [made.carrier, made.receiver].map((meshes) =>
        meshes.map((mesh) => transformMesh(keyToModel, mesh)),
      );
      (isUp ? above : below).push(...parts[0]!);
      (isUp ? below : above).push(...parts[1]!);
      keys.push(keySolids(made, keyToModel, { carrier: isUp ? 'B' : 'A', receiver: isUp ? 'A' : 'B', heldBy: kind }));
    }
  }
  return { below: together(below), above: together(above), keys, section: sectionOf(walls, whole) };
}

/** In a row that turns by some angle from wall to wall, each a little away from the last. */
function wallsAround(num: number, between: (low: number, high: number) => number): Wall[] {
  const walls: Wall[] = [];
  let [x, y, turn] = [0, 0, 0];
  for (let i = 0; i < num; i++) {
    const lengthMm = between(60, 130);
    walls.push({ lengthMm, pose: chainTransforms(turnedAbout([0, 0, 1], turn), place([x, y, 0])) });
    const next = turn + between(0.3, 1.4);
    x += (lengthMm + 25) * Math.cos(turn) + 25 * Math.cos(next);
    y += (lengthMm + 25) * Math.sin(turn) + 25 * Math.sin(next);
    turn = next;
  }
  return walls;
}

interface Chance {
  readonly between: (low: number, high: number) => number;
  readonly gap: () => number;
}

/** Carried from above: a tongue over the inner face of the wall below, between two stops; in a pocket also under a roof. */
function tab({ between, gap, kind }: Chance & { readonly kind: 'stops' | 'pocket' }): MadeKey {
  const [half, reach, thick] = [between(5, 8), between(5, 9), between(2, 3)];
  const [under, left, right, over] = [gap(), gap(), gap(), gap()];
  const top = under + thick;
  const carrier = [box([-half, -1, 2], [half, top, 8]), box([-half, under, -reach], [half, top, 3])];
  const stopTop = top + 1.5;
  const receiver = [
    box([-half - left - 3, -1, -reach - 1], [-half - left, stopTop, -0.5]),
    box([half + right, -1, -reach - 1], [half + right + 3, stopTop, -0.5]),
    ...(kind === 'pocket'
      ? [box([-half - left - 3, top + over, -reach - 1], [half + right + 3, top + over + 2, -0.5])]
      : []),
  ];
  const contacts: (readonly [Vec3, Vec3, number])[] = [];
  for (const x of [-half, half]) for (const z of [-0.5, -reach]) contacts.push([[x, under, z], [0, -1, 0], under]);
  for (const y of [under, top]) {
    for (const z of [-0.5, -reach]) contacts.push([[-half, y, z], [-1, 0, 0], left], [[half, y, z], [1, 0, 0], right]);
  }
  if (kind === 'pocket')
    for (const x of [-half, half]) for (const z of [-0.5, -reach]) contacts.push([[x, top, z], [0, 1, 0], over]);
  return { carrier, receiver, contacts };
}

/** Carried from above on an arm: a prism of some sides in a socket of as many or more, turned by chance. */
function pin({ between, gap }: Chance): MadeKey {
  const sides = Math.floor(between(6, 15));
  const [radius, phase] = [between(1.5, 4), between(0, 6)];
  const apothem = radius + gap();
  const hole = apothem / Math.cos(Math.PI / sides);
  const away = hole + 4;
  const turnedBy = (mesh: Mesh, turn: number, z: number): Mesh =>
    transformMesh(chainTransforms(turnedAbout([0, 0, 1], turn), place([0, away, z])), mesh);
  const carrier = [
    turnedBy(cylinder(radius, 9, sides + 2), phase, -7),
    box([-radius, -1, 1.5], [radius, away + radius, 5]),
  ];
  const receiver = [
    turnedBy(tube({ outerMm: hole + 3, wallMm: 3, heightMm: 7 }, sides), 0, -8),
    // A web to the wall, short of the socket's hole.
    box([-1, -1, -8], [1, away - hole - 1, -1]),
  ];
  const contacts: (readonly [Vec3, Vec3, number])[] = [];
  for (let corner = 0; corner < sides + 2; corner++) {
    const angle = phase + (2 * Math.PI * corner) / (sides + 2);
    const [x, y] = [radius * Math.cos(angle), radius * Math.sin(angle)];
    for (let side = 0; side < sides; side++) {
      const facing = (2 * Math.PI * (side + 0.5)) / sides;
      const normal: Vec3 = [Math.cos(facing), Math.sin(facing), 0];
      const open = apothem - (x * normal[0] + y * normal[1]);
      if (open < radius) contacts.push([[x, away + y, -1], normal, open], [[x, away + y, -7], normal, open]);
    }
  }
  return { carrier, receiver, contacts };
}

function keySolids(
  { contacts }: MadeKey,
  toModel: Transform,
  named: Pick<Key, 'carrier' | 'receiver' | 'heldBy'>,
): KeySolids {
  const said: Contacts = {
    points: Float64Array.from(contacts.flatMap(([point]) => applyTransform(toModel, point))),
    normals: Float64Array.from(contacts.flatMap(([, normal]) => turnVector(toModel, normal))),
    gapMm: Float64Array.from(contacts.map(([, , gapMm]) => gapMm)),
  };
  const key: Key = {
    kind: named.heldBy === 'seat' ? 'pin' : 'tab',
    ...named,
    atMm: applyTransform(toModel, [0, 0, 0]),
    along: turnVector(toModel, [1, 0, 0]),
    into: turnVector(toModel, [0, 0, -1]),
    inward: turnVector(toModel, [0, 1, 0]),
    widthMm: 12,
    reachMm: 7,
    thickMm: 2.4,
    clearanceMm: 0.2,
  };
  const nothing = { add: [], cut: [] };
  return { key, carrier: nothing, receiver: nothing, loose: null, contacts: said };
}

function sectionOf(walls: readonly Wall[], whole: Transform): SeamSection {
  const n = turnVector(whole, [0, 0, 1]);
  const origin = applyTransform(whole, [0, 0, 0]);
  const loops = walls.map(({ lengthMm, pose }): SectionLoop => {
    const corners: readonly Vec3[] = [
      [0, -WALL_MM, 0],
      [lengthMm, -WALL_MM, 0],
      [lengthMm, 0, 0],
      [0, 0, 0],
    ];
    const inPlane = corners.map((corner) => applyTransform(pose, corner));
    return {
      points: Float64Array.from(inPlane.flatMap((corner) => applyTransform(whole, corner))),
      flat: Float64Array.from(inPlane.flatMap((corner) => corner.slice(0, 2))),
      sides: Uint8Array.of(SIDE_OUTER, SIDE_SEAM, SIDE_INNER, SIDE_SEAM),
    };
  });
  const seam: SeamSection['seam'] = {
    id: 'A-B',
    pieces: ['A', 'B'],
    plane: { normal: n, offsetMm: n[0] * origin[0] + n[1] * origin[1] + n[2] * origin[2] },
    cut: 0,
    asked: null,
    within: [],
    bowMm: 0,
    outerMm: walls.reduce((sum, { lengthMm }) => sum + lengthMm, 0),
    costMm: 0,
    lines: [],
    places: { creaseMm: 0, frontMm: 0, sidesMm: 0, backMm: 0, aboveMm: 0, unseenMm: 0 },
    innerMm: walls.reduce((sum, { lengthMm }) => sum + lengthMm, 0),
    areaMm2: walls.reduce((sum, { lengthMm }) => sum + lengthMm * WALL_MM, 0),
    outlines: [],
  };
  return { seam, origin, u: turnVector(whole, [1, 0, 0]), v: turnVector(whole, [0, 1, 0]), n, loops, wallMm: WALL_MM };
}
