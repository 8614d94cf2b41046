// The lower edge: scallops round the neck, longer behind, a moulding over them, and planking up the back.
import { commonBevelled, joined } from './field.ts';
import { brimZ } from './helm-brim.ts';
import { HALF_ROUND_MM, type Place } from './helm-form.ts';

const SCALLOPS = 16;
const WIDE_MM = (2 * HALF_ROUND_MM) / SCALLOPS;
const DEEP_MM = 8.5;

/** Height at which the scallops meet: lower toward the back. */
function meetZ(turn: number): number {
  return DEEP_MM + 6 * (1 + Math.cos(turn));
}

/** Distance above the scalloped edge (negative below it). */
export function aboveEdge({ way, turn, z }: Place): number {
  if (z > 60) return z - 40;
  const share = way / WIDE_MM + 0.5;
  const at = Math.PI * (share - Math.floor(share));
  const slope = (Math.PI * DEEP_MM * Math.cos(at)) / WIDE_MM;
  return (z - meetZ(turn) + DEEP_MM * Math.sin(at)) / Math.sqrt(1 + slope * slope);
}

/** A bead along the scallops, a rivet in each, and a half-round moulding above. */
export function edgeTrim({ way, turn, z, out }: Place, above: number): number {
  if (z > 50 || out > 14) return Math.max(z - 40, out - 4);
  const bead = commonBevelled(above - 4.4, out - 1.7, 0.9);
  const meet = meetZ(turn);
  const moulding = Math.hypot(out, z - meet - 9.5) - 2.5;
  const share = way / WIDE_MM + 0.5;
  const aside = (share - Math.floor(share) - 0.5) * WIDE_MM;
  const rivet = Math.hypot(aside, z - meet - 1.4, out + 0.8) - 3.2;
  return Math.min(bead, joined(moulding, rivet, 0.4));
}

/** Planks like a boat's, each over the one below, from behind the cheeks round the back. They stand as far into the wall as out
 *  of it, so that the wall keeps its middle. */
const PLANKS = { from: 136, wide: 21.5, half: 1, foot: 12, post: 3 } as const;

/** The wall with its planks, and the post at which they begin. */
export function planksAt({ ax, y, way, turn, z, out }: Place, form: number): number {
  if (out > 14 || way < 120 || z > 160) return form;
  const under = z - brimZ(ax, y);
  const height = z - meetZ(turn) - PLANKS.foot - 0.0008 * (HALF_ROUND_MM - way) ** 2;
  const share = height / PLANKS.wide;
  const up = (share - Math.floor(share)) * PLANKS.wide;
  const here = out - PLANKS.half * (1 - (2 * up) / PLANKS.wide);
  const next = Math.max(PLANKS.wide - up, out - PLANKS.half);
  const planks = height < 0 ? form : Math.min(here, next);
  const inField = Math.min(way - PLANKS.from, -under);
  const wall = inField > 0 ? planks : form;
  const post = Math.max(Math.hypot(out, way - PLANKS.from) - PLANKS.post, under);
  return Math.min(wall, post);
}
