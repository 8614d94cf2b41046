// What the beds come to: which pieces lie together on which machine, when each bed starts and ends, and where spools run out.

/** A piece on a bed: its outline as laid by Printing, turned counter-clockwise about 0,0, then shifted. */
export interface BedPlace {
  /** Id of a piece, or SPLICES. */
  readonly piece: string;
  /** Which of the copies, from 1. */
  readonly copy: number;
  readonly turnDeg: number;
  /** Bed space: 0,0 is the front left corner of the printable space, margin included. */
  readonly atMm: readonly [number, number];
}

/** Stands for all loose splices of one copy, which lie in rows. */
export const SPLICES = 'splices';

/** Filament ends in the middle of a print. */
export interface SpoolEnd {
  /** Seconds since midnight before the first start. */
  readonly atS: number;
  readonly heightMm: number;
  /** Whether anybody is awake to put on the next. */
  readonly awake: boolean;
}

/** Prints that share a bed go up together, layer by layer. Times are seconds since midnight before the first start. */
export interface BedLoad {
  readonly machine: string;
  readonly places: readonly BedPlace[];
  readonly startsS: number;
  readonly endsS: number;
  readonly filamentG: number;
  readonly supportG: number;
  readonly filamentM: number;
  readonly heightMm: number;
  /** Share of tries in which it, and so all that lies on it, is lost. */
  readonly failingShare: number;
  /** Left on the spool after it. */
  readonly leftG: number;
  readonly spoolEnds: readonly SpoolEnd[];
  /** Between the two pieces that lie nearest, measured on their outlines, mm; null for one alone. */
  readonly gapMm: number | null;
}

/** Loops of a piece as it lies: xy interleaved, laid space, mm; holes run clockwise. */
export interface PieceOutline {
  readonly piece: string;
  readonly loops: readonly Float64Array[];
}

export interface BedsRecord {
  readonly kind: 'beds';
  readonly version: 1;
  readonly copies: number;
  /** Every machine of the build, in its order. */
  readonly machines: readonly { readonly id: string; readonly widthMm: number; readonly depthMm: number }[];
  readonly marginMm: number;
  readonly gapMm: number;
  readonly wakingFromH: number;
  /** Not later than `wakingFromH`: of the next day. */
  readonly wakingToH: number;
  /** In the order of their starts. */
  readonly loads: readonly BedLoad[];
  readonly outlines: readonly PieceOutline[];
  readonly startsS: number;
  readonly endsS: number;
  /** Mean hours lost to failures and hands together, seconds. */
  readonly lostS: number;
  /** When it would end with every piece on a bed of its own, and with somebody to change beds at any hour; beds and machines chosen anew for each. */
  readonly others: { readonly apartS: number; readonly alwaysAwakeS: number };
  /** Spools to have ready, by the machines that print: beside the one it holds. */
  readonly spools: readonly { readonly machine: string; readonly filamentG: number; readonly fresh: number }[];
  /** exact: no other beds, machines or orders are better; search: the best of many that were tried. */
  readonly found: 'exact' | 'search';
}
