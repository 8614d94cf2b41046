// How the mating faces of a piece are dressed: flat ones on a plate, those that its own keys stand out of between them, bowed ones only of burrs.
import type { Joint, KeyKind } from './joints-record.ts';
import type { Seam } from './pieces-record.ts';

type FaceSeam = Pick<Seam, 'id' | 'pieces' | 'bowMm'>;

/** Less than this off its plane a face is dressed flat, mm. */
const FLAT_MM = 0.05;

export interface MatingFaces {
  /** No key of the piece stands out of them: a plate reaches all of the face. */
  readonly plain: readonly FaceSeam[];
  /** Flat too, but keys of the piece stand out of them and would meet a plate first. */
  readonly keyed: readonly FaceSeam[];
  /** What stands out of the keyed ones, each kind once: "tabs", "pins". */
  readonly keys: readonly string[];
  readonly bowed: readonly FaceSeam[];
}

/** All faces of one piece, in the order of the seams. Cost: O(seams x joints). */
export function matingFaces(piece: string, seams: readonly FaceSeam[], joints: readonly Joint[]): MatingFaces {
  const own = seams.filter(({ pieces }) => pieces.includes(piece));
  const flat = own.filter((seam) => !isBowed(seam));
  const keysOf = (seam: FaceSeam): string[] => standingKeys(piece, seam.id, joints);
  const keyed = flat.filter((seam) => keysOf(seam).length > 0);
  return {
    plain: flat.filter((seam) => !keyed.includes(seam)),
    keyed,
    keys: [...new Set(keyed.flatMap(keysOf))],
    bowed: own.filter(isBowed),
  };
}

export function isBowed({ bowMm }: Pick<Seam, 'bowMm'>): boolean {
  return bowMm >= FLAT_MM;
}

/** Grown on the piece and reaching beyond its face; loose parts are set only after the face is dressed. */
const STANDING: Partial<Readonly<Record<KeyKind, string>>> = { tab: 'tabs', lap: 'laps', pin: 'pins' };

function standingKeys(piece: string, seam: string, joints: readonly Joint[]): string[] {
  const keys = joints.find((joint) => joint.seam === seam)?.keys ?? [];
  return keys.flatMap(({ kind, carrier }) => (carrier === piece && kind in STANDING ? [STANDING[kind]!] : []));
}
