// The lower edge: scallops round the neck, longer behind, a moulding over them, and planking up the back.
import { brimZ } from './helm-brim.ts';
import { HALF_ROUND_MM, type Place } from './helm-form.ts';

const SCALLOPS = 16;
const WIDE_MM = (2 * HALF_ROUND_MM) / SCALLOPS;
const DEEP_MM = 8.5;
/** The moulding runs so far above the meeting points of the scallops: clear of their bead. */
const MOULDING_MM = 12.5;

/** Height at which the scallops meet: lower toward the back. */
function meetZ(turn: number): number {
  return DEEP_MM + 6 * (1 + Math.cos(turn));
}

/** Distance above the scalloped edge (negative below it). */
export function aboveEdge({ way, turn, z }: Place): number {
  if (z > 60) return z - 40;
  const share = way / WIDE_MM + 0.5;
  const at = Math.PI * (share - Math.floor(share));
  const sine = Math.sin(at);
  const hang = Math.sqrt(sine * sine + ROUNDING);
  const slope = (Math.PI * DEEP_MM * sine * Math.cos(at)) / (hang * WIDE_MM);
  return (z - meetZ(turn) + DEEP_MM * hang) / Math.sqrt(1 + slope * slope);
}

/** Rounds the meeting points of the scallops, where a sharp notch would tear. */
const ROUNDING = 0.014;

/** A bead along the scallops, a rivet in each, and a half-round moulding above. */
export function edgeTrim({ way, turn, z, out }: Place, above: number): number {
  if (z > 50 || out > 14) return Math.max(z - 40, out - 4);
  const bead = Math.max(above - 4, out - 1.8);
  const meet = meetZ(turn);
  const up = -0.15 - 0.15 * (1 - Math.cos(turn));
  const moulding = Math.hypot(out, (z - meet - MOULDING_MM - out * up) / Math.sqrt(1 - up * up)) - 2.6;
  const share = way / WIDE_MM + 0.5;
  const aside = (share - Math.floor(share) - 0.5) * WIDE_MM;
  const rivet = Math.hypot(aside, z - meet - 2.2, out + 0.8) - 3.2;
  return Math.min(bead, moulding, rivet);
}

/** Planks like a boat's, each over the one below, from behind the cheeks round the back. They stand as far into the wall as out
 *  of it, so that the wall keeps its middle. */
const PLANKS = { from: 136, wide: 21.5, half: 1.15, foot: 15, post: 3 } as const;

/** The wall with its planks, and the post at which they begin. */
export function planksAt({ ax, y, way, turn, z, out }: Place, form: number): number {
  if (out > 14 || way < 120 || z > 160) return form;
  const under = z - brimZ(ax, y);
  const height = z - meetZ(turn) - PLANKS.foot - 0.0008 * (HALF_ROUND_MM - way) ** 2;
  const share = height / PLANKS.wide;
  const up = (share - Math.floor(share)) * PLANKS.wide;
  // A plank, whose lower side stands over the upper end of the one below.
  const below = Math.max(out + PLANKS.half, up - 4);
  const here = Math.min(Math.max(out - PLANKS.half * (1 - (2 * up) / PLANKS.wide), -up), below);
  const next = Math.max(PLANKS.wide - up, out - PLANKS.half);
  const planks = Math.min(here, next);
  const overFoot = z - meetZ(turn) - MOULDING_MM;
  const inField = Math.min(way - PLANKS.from, -under, overFoot);
  const wall = inField > 0 ? planks : form;
  const post = Math.max(Math.hypot(out, way - PLANKS.from) - PLANKS.post, under, -overFoot);
  return Math.min(wall, post);
}
