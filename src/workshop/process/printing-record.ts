// What the Printing chapter hands on.
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Transform } from '../../mesh/transform.ts';
import type { TimePart, TimeParts } from './measured-print.ts';

/** What a print was estimated at by the machine's figures alone, and how far the corrected figures beside it may be off. */
export interface Estimate {
  /** Before measured prints correct it: what is kept with the machine when this print is measured. */
  readonly estimated: { readonly parts: TimeParts; readonly g: number };
  /** Nine prints in ten come out within it. Grams: with support. */
  readonly plusMinusS: number;
  readonly plusMinusG: number;
}

/** What the measured prints of one machine say. */
export interface LearntMachine {
  readonly machine: string;
  readonly prints: number;
  readonly weighed: number;
  /** A part takes so many times what the machine's figures say; nine in ten lie within the plus-minus. */
  readonly factors: Readonly<Record<TimePart, { readonly factor: number; readonly plusMinus: number }>>;
  readonly grams: { readonly factor: number; readonly plusMinus: number };
}

/** Seconds of one print by what the machine is doing. They sum to `printS`. */
export interface PrintSeconds {
  readonly contour: number;
  readonly infill: number;
  readonly closing: number;
  readonly support: number;
  readonly travel: number;
  readonly waiting: number;
  readonly startUp: number;
}

/** The chosen orientation on one machine that takes it. */
export interface MachinePrint {
  readonly machine: string;
  /** About the vertical, counter-clockwise from above: from the print as laid to the turn that fits this machine, degrees. */
  readonly turnDeg: number;
  /** Turned so. */
  readonly sizeMm: Vec3;
  /** Seconds of each layer, bottom first, without waiting for it to cool: prints on one bed wait together. */
  readonly layerS: Float64Array;
  /** Before the first layer, and the least time of a layer; corrected by measured prints as the layers are. */
  readonly startUpS: number;
  readonly shortestLayerS: number;
}

export interface Print extends Estimate {
  readonly piece: string;
  readonly machine: string;
  /** Laid space (smallest corner at 0,0,0) to model space at worn size. */
  readonly toModel: Transform;
  readonly sizeMm: Vec3;
  readonly lies: 'mating face' | 'hull face' | 'level';
  readonly layers: number;
  readonly printS: number;
  readonly seconds: PrintSeconds;
  /** The piece itself; support is apart. */
  readonly filamentG: number;
  readonly supportG: number;
  readonly filamentM: number;
  /** Seconds of each twentieth of the height, bottom first, for the strip in the book. */
  readonly secondsByHeight: readonly number[];
  readonly risk: PrintRisk;
  /** How much likelier than a squat print it fails, as a share more: 0 to 1. */
  readonly unsteady: number;
  /** Its own machine first, then every other that takes it lying so. */
  readonly on: readonly MachinePrint[];
  /** Up to three clearly different ways in which it may lie: this print's first, then the best of the others. */
  readonly poses: readonly LyingPose[];
  /** Which of the poses asked for it lies by, by its place in the build file; null where the score chose. */
  readonly asked: number | null;
}

/** A way in which a piece may lie, and what it takes. */
export interface LyingPose {
  /** Unit, levelled model space: what is up on the bed. */
  readonly up: Vec3;
  readonly lies: Print['lies'];
  /** The one of its machines that is best with it. */
  readonly machine: string;
  readonly printS: number;
  readonly supportG: number;
  /** Held surface seen from above: what shows, and the rest. */
  readonly heldShownMm2: number;
  readonly heldElsewhereMm2: number;
  /** Area that shows and on which terraces will. */
  readonly terracesMm2: number;
  readonly heightMm: number;
  /** Plastic on the bed, that of support too. */
  readonly footMm2: number;
  /** Of the piece itself, without support. */
  readonly ownFootMm2: number;
  /** How far it may be leaned before it tips over its foot; below 0 where it stands outside. */
  readonly tipDeg: number;
  /** How much likelier than a squat print it fails, as a share more. */
  readonly riskShare: number;
  /** Seconds with risk, support, scars and terraces in one: lowest is best. */
  readonly scoreS: number;
}

/** What a print costs with the failures before it comes out, in the mean. */
export interface PrintRisk {
  /** Share of tries that fail. */
  readonly failingShare: number;
  /** Of the machine, until it has come out. */
  readonly expectedS: number;
  /** Filament in what failed. */
  readonly lostG: number;
}

/** The same work in a number of prints. */
export interface OtherDivision {
  readonly prints: number;
  readonly expectedS: number;
}

/** All loose splices of the joints, printed together on one machine. */
export interface SplicesPrint extends Estimate {
  readonly count: number;
  readonly machine: string;
  /** Of the rows they lie in. */
  readonly sizeMm: Vec3;
  readonly on: readonly MachinePrint[];
  readonly printS: number;
  readonly filamentG: number;
  readonly supportG: number;
  readonly filamentM: number;
}

export interface PrintingRecord {
  readonly kind: 'printing';
  readonly version: 1;
  /** What leans out more than this from vertical is held by support. */
  readonly overhangLimitDeg: number;
  readonly prints: readonly Print[];
  /** Null where no seam has any. */
  readonly splices: SplicesPrint | null;
  /** Of the machine with failures: as many prints as there are, one fewer, one more, and the best number, by number. Seams and walls that a division
   *  brings are not in it. */
  readonly divisions: readonly OtherDivision[];
  /** Of a print, at which the fewest hours are lost in the long run. */
  readonly bestLengthS: number;
  /** In the order of the machines. */
  readonly learnt: readonly LearntMachine[];
  /** Pieces and splices. */
  readonly totals: {
    readonly printS: number;
    /** All of them together: what errs in one print of a machine errs alike in its others. Grams: with support. */
    readonly plusMinusS: number;
    readonly plusMinusG: number;
    readonly filamentG: number;
    readonly supportG: number;
    readonly filamentM: number;
    /** With failures, the few minutes of splices without: machine and lost filament. */
    readonly expectedS: number;
    readonly lostG: number;
  };
}
