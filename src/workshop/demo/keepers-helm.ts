// The Keeper's helm: a storm helm for a lighthouse keeper, the main piece of the demonstration.
import type { Field } from '../../geometry/isosurface/isosurface.ts';
import { joined } from './field.ts';
import { brimAt, lensAt, ropeAt } from './helm-brim.ts';
import { lanternTrimAt, ribsAt } from './helm-crown.ts';
import { aboveEdge, edgeTrim, planksAt } from './helm-edge.ts';
import { cheekAt, eyeCut, eyesAt, lipAndLedge, mouthAt, mouthHoles } from './helm-face.ts';
import { domeAt, formAt, lanternAt, type Place, wayAt } from './helm-form.ts';

export const WALL_MM = 3;

/** Its solid, upright, mm, face to +y, mirrored at x = 0 exactly (x enters as |x| only). */
export const keepersHelm: Field = (x, y, z) => {
  const ax = Math.abs(x);
  const dome = domeAt(ax, y, z);
  const round = Math.sqrt(ax * ax + y * y);
  const form = formAt(dome, lanternAt(round, z));
  const hollow = -(form + WALL_MM);
  if (hollow > 20) return hollow;
  const turn = Math.atan2(ax, y);
  place.ax = ax;
  place.y = y;
  place.z = z;
  place.round = round;
  place.turn = turn;
  place.way = wayAt(turn);
  place.out = dome;
  // Deep in the wall ornaments change nothing: they only add, and the hollow's side is nearer.
  const body = form < -2.1 ? form : ornamented(form);
  return Math.max(body, hollow, -aboveEdge(place), -eyeCut(eyesAt(place), dome), -mouthHoles(place));
};

export const KEEPERS_HELM_BOUNDS = { minMm: [-127, -163, -2], maxMm: [127, 141, 311] } as const;

function ornamented(form: number): number {
  const wall = planksAt(place, form);
  const crown = Math.min(ribsAt(place), lanternTrimAt(place));
  const brimmed = Math.min(joined(wall, brimAt(place), 4), crown, ropeAt(place), lensAt(place));
  const face = Math.min(cheekAt(place), mouthAt(place), lipAndLedge(place, eyesAt(place)));
  return Math.min(brimmed, edgeTrim(place, aboveEdge(place)), face);
}

const place: Place = { ax: 0, y: 0, z: 0, round: 0, turn: 0, way: 0, out: 0 };
