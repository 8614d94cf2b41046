// A plane as a maker sets it: how far it stands along the axis that it crosses most squarely, and how it leans two ways.
import type { Plane } from '../../geometry/plane.ts';
import { unit } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';

export interface HeldPlane {
  /** 0: to the wearer's left, 1: to the back, 2: up. */
  readonly axis: 0 | 1 | 2;
  /** Where it crosses that axis through the middle of the model, mm. */
  readonly atMm: number;
  /** How much farther along the axis it stands, as an angle, the farther one goes along LEANS[axis]. */
  readonly leanDeg: readonly [number, number];
}

/** The two ways a plane may lean, per axis it crosses. */
export const LEANS: readonly (readonly [0 | 1 | 2, 0 | 1 | 2])[] = [
  [2, 1],
  [2, 0],
  [1, 0],
];

/** Beyond this a plane crosses another axis more squarely. */
export const MOST_LEAN_DEG = 60;

/** Words around the three numbers, which are told without a sign: before the first, between, after. */
export function planeWords({
  axis,
  atMm,
  leanDeg: [one, other],
}: HeldPlane): readonly [string, string, string, string] {
  const [at, first, second] = [atMm, one, other].map((value) => (value < 0 ? 1 : 0)) as [0 | 1, 0 | 1, 0 | 1];
  if (axis === 2)
    return [
      'stands ',
      `${[' high', ' below the foot'][at]}, ${RISES[first]} `,
      ` to the back and ${RISES[second]} `,
      ' to the left',
    ];
  const [stands, leans, end] = axis === 0 ? SIDEWAYS : BACKWARD;
  return [
    'stands ',
    `${stands[at]} the middle, leaning `,
    ` ${leans[first]} at the top and `,
    ` ${leans[second]} ${end}`,
  ];
}

const RISES = ['rising', 'falling'] as const;
const SIDEWAYS = [[' left of', ' right of'], ['left', 'right'], 'at the back'] as const;
const BACKWARD = [[' behind', ' in front of'], ['back', 'forward'], 'on the left'] as const;

/** What each of the three numbers is called. */
export const PLANE_LABELS: readonly (readonly [string, string, string])[] = [
  ['To the left', 'Lean to the left', 'Turn to the left'],
  ['To the back', 'Lean to the back', 'Turn to the back'],
  ['Height', 'Rise to the back', 'Rise to the left'],
];

/** `middleMm`: the middle of the model, about which a plane leans. */
export function heldPlane({ normal, offsetMm }: Plane, middleMm: Vec3): HeldPlane {
  const size = normal.map(Math.abs);
  const axis = size[2]! >= size[0]! && size[2]! >= size[1]! ? 2 : size[1]! >= size[0]! ? 1 : 0;
  const [one, other] = LEANS[axis]!;
  const atMm = (offsetMm - normal[one] * middleMm[one] - normal[other] * middleMm[other]) / normal[axis];
  const lean = (way: 0 | 1 | 2): number => (Math.atan2(-normal[way] / normal[axis], 1) * 180) / Math.PI + 0;
  return { axis, atMm, leanDeg: [lean(one), lean(other)] };
}

export function planeOfHeld({ axis, atMm, leanDeg }: HeldPlane, middleMm: Vec3): Plane {
  const [one, other] = LEANS[axis]!;
  const bare: [number, number, number] = [0, 0, 0];
  bare[axis] = 1;
  bare[one] = -Math.tan((leanDeg[0] * Math.PI) / 180);
  bare[other] = -Math.tan((leanDeg[1] * Math.PI) / 180);
  const normal = unit(bare);
  const offsetMm = normal[axis] * atMm + normal[one] * middleMm[one] + normal[other] * middleMm[other];
  return { normal, offsetMm };
}
