// Writes what the maker asks of single joints: another kind than the wall asks for, seam by seam, and wishes whose seam is gone.
import type { Vec3 } from '../../mesh/mesh.ts';
import { nearestSeams } from '../process/asked-joints.ts';
import type { JointKind, JointsRecord } from '../process/joints-record.ts';
import type { Seam } from '../process/pieces-record.ts';
import type { Block, Span } from './book-text.ts';
import type { Build } from './build-file.ts';
import { editable, followsOf } from './editable.ts';
import { askedKindWords, JOINT_KINDS } from './joint-words.ts';
import { offer, say } from './spans.ts';
import { remove } from './write-asked.ts';

type AskedJoint = Build['joints']['asked'][number];

const ASKED = 'joints.asked';

/** Stays in one line of a narrow column. */
export const BY_WALL = 'by\u00a0its\u00a0wall';

/** The seams of the division and how much larger than the unscaled model they are worn. */
export interface SeamsWorn {
  readonly seams: readonly Seam[];
  readonly scale: number;
}

/** What is asked of each seam, in their order; of several wishes the last. */
export function askedOfSeams({ joints }: Build, { seams, scale }: SeamsWorn): readonly (AskedJoint | null)[] {
  const found: (AskedJoint | null)[] = seams.map(() => null);
  nearestSeams(joints.asked, seams, scale).forEach(({ seam }, index) => {
    if (seam !== null) found[seam] = joints.asked[index]!;
  });
  return found;
}

/** How each seam is joined, as a choice that the maker has, in their order. */
export function jointChoices(build: Build, worn: SeamsWorn): readonly Span[] {
  const asked = askedOfSeams(build, worn);
  return worn.seams.map((seam, index): Span => {
    const now = asked[index]!;
    const at = now?.atMm ?? placeOf(index, worn);
    const options = JOINT_KINDS.map((join) => ({
      entry: JSON.stringify(now?.join === join ? now : { name: seam.id, atMm: at, join }),
      label: join === 'none' ? 'none' : askedKindWords(join),
    }));
    return {
      s: 'entry',
      path: ASKED,
      label: `Joint of ${seam.id}`,
      options: [{ entry: null, label: BY_WALL }, ...options],
      value: now === null ? null : JSON.stringify(now),
      follows: followsOf(ASKED),
    };
  });
}

/** While there are no joints, the same in a sentence. */
export function jointChoicesSentence(build: Build, worn: SeamsWorn): readonly Block[] {
  if (worn.seams.length === 0) return [];
  const choices = jointChoices(build, worn);
  return [
    offer(
      'Joined: ',
      ...worn.seams.flatMap(({ id }, index) => [index === 0 ? '' : ', ', `${id} `, choices[index]!]),
      '.',
    ),
  ];
}

/** A wish whose seam is gone can be taken back, one sentence each. */
export function astrayWishes({ joints: { asked } }: Build, { seams, scale }: SeamsWorn): readonly Block[] {
  return nearestSeams(asked, seams, scale).flatMap(({ seam }, index) => {
    if (seam !== null) return [];
    const { name, join } = asked[index]!;
    const wish = `${askedKindWords(join)}${name === '' ? '' : ` for ${name}`}`;
    return [
      say(
        `You asked for ${wish} at a place where there is no seam now. `,
        remove(ASKED, asked, { index, label: wish, says: 'Forget it' }),
      ),
    ];
  });
}

/** Sizes of what is bought, as soon as a seam has it or is to have it. */
export function boughtSizes(build: Build, joints: JointsRecord | null): readonly Block[] {
  const has = (kind: JointKind): boolean =>
    build.joints.asked.some(({ join }) => join === kind) || joints?.joints.some((one) => one.kind === kind) === true;
  const size = (path: string, label: string, digits: number, step: number): Span =>
    editable(build, `joints.${path}`, { label, unit: 'mm', digits, step });
  return [
    ...(has('rods') ? [say('Rod measures ', size('rodMm', 'Diameter of rod', 2, 0.25), ' across.')] : []),
    ...(has('magnets')
      ? [
          say(
            'Magnets are discs, ',
            size('magnetMm.0', 'Diameter of magnets', 1, 0.5),
            ' across and ',
            size('magnetMm.1', 'Height of magnets', 1, 0.5),
            ' high.',
          ),
        ]
      : []),
    ...(has('screws')
      ? [say('Screws measure ', size('screwMm', 'Diameter of screws', 1, 0.5), ' across the thread.')]
      : []),
  ];
}

/** Places of its outline that are looked at. */
const NUM_PLACES = 24;

/** The place of a seam that is farthest from all others, so that it is found again as its own: levelled, unscaled. */
function placeOf(index: number, { seams, scale }: SeamsWorn): Vec3 {
  const { outlines } = seams[index]!;
  const longest = outlines.reduce((most, one) => (one.length > most.length ? one : most), new Float32Array(0));
  const num = longest.length / 3;
  const places = Array.from({ length: Math.min(NUM_PLACES, num) }, (_, i): Vec3 => {
    const at = 3 * Math.floor((i * num) / Math.min(NUM_PLACES, num));
    return [longest[at]! / scale, longest[at + 1]! / scale, longest[at + 2]! / scale];
  });
  const others = seams.filter((_, other) => other !== index);
  const apart = nearestSeams(
    places.map((atMm) => ({ atMm })),
    others,
    scale,
  ).map(({ apartMm }) => apartMm);
  const [x, y, z] = places[apart.indexOf(Math.max(...apart))] ?? [0, 0, 0];
  return [rounded(x), rounded(y), rounded(z)];
}

function rounded(value: number): number {
  return Number(value.toFixed(3)) + 0;
}
