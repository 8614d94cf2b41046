// What the maker decides about the division, each with its default and the reason for it.
import { z } from 'zod';
import { AskedOfSeams } from '../process/asked-seams.ts';
import { Viewers } from '../process/viewers.ts';

const weight = (byDefault: number, most: number, why: string) =>
  z.number().min(0).max(most).default(byDefault).describe(why);

/** All weights are in millimetres of fully visible seam: what one is willing to fill and sand to be spared the thing. */
export const DivisionWeights = z.strictObject({
  piece: weight(
    900,
    20000,
    'A further piece: another print to start and clean, another seam to register and glue. Large, so that few pieces come first',
  ),
  seam: weight(1, 100, 'One millimetre of seam in full view; lines in less view count in proportion'),
  hidden: weight(0.08, 1, 'Share that a line counts where nobody looks: it still has to be glued'),
  lopsided: weight(
    250,
    20000,
    'A cut that breaks the left-right symmetry of the pattern: eyes find it before anything else, where it has not quite gone',
  ),
  support: weight(
    1.2,
    1000,
    'A gram of support: some eighteen seconds of the hands to break off and to sand the scars it leaves; a millimetre of seam in full view takes fifteen to fill, prime and sand until it is gone',
  ),
  hour: weight(
    24,
    10000,
    'An hour of a machine, the risk of failing included: it prints unattended; power, wear and the place it takes come to a tenth of what an hour of the hands is worth, in which 240 mm of seam are hidden',
  ),
  feather: weight(1, 100, 'Feather edges: area that a cut grazes, over the least section; they warp and break'),
  chip: weight(350, 20000, 'A piece much smaller than the middle one: a print and a seam for little'),
});
export type DivisionWeights = z.infer<typeof DivisionWeights>;

/** The maker's part of the settings, as the build file holds it. */
export const PiecesChoices = z.strictObject({
  marginMm: z
    .number()
    .min(0)
    .max(50)
    .default(5)
    .describe('Kept free on every side of the bed and under the top: first-layer margins and clips need it'),
  leastSectionMm: z
    .number()
    .min(0)
    .max(100)
    .default(8)
    .describe('Narrowest piece or tongue a cut may leave: narrower ones break and cannot be registered'),
  mostPieces: z
    .int()
    .min(1)
    .max(200)
    .default(40)
    .describe('More pieces than this are refused: choose a larger machine'),
  beamWidth: z
    .int()
    .min(1)
    .max(16)
    .default(4)
    .describe('Divisions kept alive at each step of the search; more is slower and rarely better'),
  weights: DivisionWeights.prefault({}),
  viewers: Viewers.prefault({}),
  proposal: z
    .enum(['fewest', 'hidden', 'quickest'])
    .default('hidden')
    .describe(
      'Which of three divisions is made: fewest pieces, well hidden seams, or quickest to print; each weighs all of these, and puts its own first',
    ),
  mostBowMm: z
    .number()
    .min(0)
    .max(40)
    .default(12)
    .describe('How far a seam may leave its plane to follow a crease or an edge; 0 keeps every seam flat'),
  asked: AskedOfSeams.prefault({}),
});
export type PiecesChoices = z.infer<typeof PiecesChoices>;

export const Bed = z.strictObject({
  id: z.string().min(1).max(40).describe('Machine it belongs to'),
  bedMm: z.tuple([z.number().min(1), z.number().min(1), z.number().min(1)]).describe('Width, depth, height'),
});
export type Bed = z.infer<typeof Bed>;

export const PiecesSettings = PiecesChoices.extend({ beds: z.array(Bed).min(1).max(12) });
export type PiecesSettings = z.infer<typeof PiecesSettings>;
