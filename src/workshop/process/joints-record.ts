// What the joints come to: pieces with their keys, what registers each seam and how well, and in which order all is joined.
import type { Vec3 } from '../../mesh/mesh.ts';
import type { MeshId } from '../../mesh/mesh-store.ts';
import type { Piece } from './pieces-record.ts';

/** tab: lies inside against the wall of the other piece. lap: the same, sunk into the wall. strip: a loose splice in two seats.
 *  pin: round, grown on one piece. rod: a loose length of filament or rod in two holes. magnet: a disc in each of two bosses.
 *  screw: a hole in one boss and a pilot hole in the other. */
export type KeyKind = 'tab' | 'lap' | 'strip' | 'pin' | 'rod' | 'magnet' | 'screw';

/** A feature that makes two pieces register. Model space, worn, mm; vectors are unit and at right angles. */
export interface Key {
  readonly kind: KeyKind;
  /** Carries what protrudes, or has the loose part glued in first. */
  readonly carrier: string;
  readonly receiver: string;
  /** On the mating face (of a tab and a strip: on its inner edge), in the middle of the key. */
  readonly atMm: Vec3;
  /** Along the seam. */
  readonly along: Vec3;
  /** The way the carrier closes: out of it, into the receiver. */
  readonly into: Vec3;
  /** From the wall to the inside. */
  readonly inward: Vec3;
  /** Along the seam; diameter of what is round. */
  readonly widthMm: number;
  /** How far it reaches into the receiver. */
  readonly reachMm: number;
  /** Across the wall; diameter of what is round. */
  readonly thickMm: number;
  /** Between each face and the one it registers on. */
  readonly clearanceMm: number;
  /** Of a tab, along the seam between it and what stands beside it: less than clearanceMm where only that makes the joint true. */
  readonly besideMm?: number;
  /** How the receiver holds it along the seam and from inside: stops beside it, a pocket over it, or the hole or seat it stands in. */
  readonly heldBy: 'stops' | 'pocket' | 'seat';
}

export type JointKind = 'tabs' | 'laps' | 'strips' | 'pins' | 'rods' | 'magnets' | 'screws' | 'none';

/** A joint that lets its outer edge off by no more is true enough, mm: a step that filler hides in one round; common practice, no source. */
export const TRUE_MM = 0.3;

/** A joint that is not held is reckoned to lie no farther off than this, mm: by then its keys have left their places. */
export const LOOSE_MM = 10;

/** The misfit that the keys allow at the outer edge of a seam, mm, when all seams that close with it are pressed shut together. */
export interface JointPlay {
  /** As drawn. */
  readonly nominalMm: number;
  /** With every face off by the machine's tolerance, the worse way. */
  readonly printedMm: number;
  readonly atMm: Vec3;
  /** Whether every motion but the way it opens is bounded. */
  readonly held: boolean;
}

/** A seam with its keys. */
export interface Joint {
  readonly seam: string;
  readonly kind: JointKind;
  /** Glued for good, or made to be taken apart. */
  readonly stays: 'glued' | 'removable';
  /** Middle wall across the seam, mm; of a thick section the widest ball in it. */
  readonly wallMm: number;
  readonly keys: readonly Key[];
  /** Taken back from the mating face along its outer edge, against a flared first layer, mm; 0 where the face does not print down. */
  readonly reliefMm: number;
  /** Least wall left outside of what was cut for keys, measured; null where nothing was cut. */
  readonly skinMm: number | null;
  /** By its own keys and those of the seams that close with it; null where none of them has a key. */
  readonly play: JointPlay | null;
  /** By its own keys alone, as drawn, mm; at most LOOSE_MM, and that where they do not hold it. Null without keys. */
  readonly aloneMm: number | null;
  /** Why there is none, or another kind than the wall asks for; in a sentence. Null where there is nothing to say. */
  readonly why: string | null;
}

/** A part that belongs to no piece: a splice strip, a length of rod, a disc magnet, a screw. */
export interface LoosePart {
  readonly id: string;
  readonly name: string;
  readonly seam: string;
  /** Model space, where it sits; null for a screw, and for the disc that lies wholly in its own pocket. */
  readonly mesh: MeshId | null;
  /** Of a splice along the seam; of a screw at most, from under its head. */
  readonly lengthMm: number;
  readonly volumeMm3: number;
}

/** Two groups of pieces become one. */
export interface Join {
  /** The smaller group moves. */
  readonly moving: readonly string[];
  readonly onto: readonly string[];
  /** Unit; the way the moving group travels to close, model space. */
  readonly towards: Vec3;
  readonly seams: readonly string[];
}

export interface JointsRecord {
  readonly kind: 'joints';
  readonly version: 1;
  /** The pieces with their keys, in the order of the pieces of Pieces: mesh, measures, and poses in which no key is in the way. Triangles that come from
   *  no shell and no mating face, but from a key, have sourceTri KEY_SOURCE. */
  readonly pieces: readonly Piece[];
  /** One a seam, in their order. */
  readonly joints: readonly Joint[];
  readonly loose: readonly LoosePart[];
  /** In the order of assembling. */
  readonly order: readonly Join[];
  /** Per piece, in their order: space under overhangs that its keys bring besides those of the piece as it was cut, mm3, in its first pose; support
   *  fills a share of it. Absent without keys. */
  readonly keySupportMm3?: readonly number[];
}

/** sourceTri of triangles that a key brought. */
export const KEY_SOURCE = -2147483648;
