// What the Surface chapter hands on: where layers, seams and support show, and what it takes until they do not.
import type { Vec3 } from '../../mesh/mesh.ts';
import type { Base, Meeting, WashBase } from '../facts/coats.ts';
import type { Step } from './step.ts';

/** rings: leans less than 45 degrees from level, where single treads are seen. walls: the rest that needs no support. scars: what support held. */
export const SURFACE_CLASSES = ['rings', 'walls', 'scars'] as const;
export type SurfaceClass = (typeof SURFACE_CLASSES)[number];

/** All patches of one class on the outside of one piece. */
export interface ClassSurface {
  readonly of: SurfaceClass;
  readonly areaMm2: number;
  /** Of its area, half and 95 percent stand out no more than this over the surface meant, mm. */
  readonly cuspMm: { readonly p50: number; readonly p95: number };
  /** Ridge and step together that 95 percent do not exceed. */
  readonly needMm: number;
  readonly rounds: number;
  /** Its area by what sands it, in the order of FINISH_TOOLS. */
  readonly reachMm2: readonly number[];
}

export interface PieceSurface {
  readonly piece: string;
  readonly areaMm2: number;
  readonly classes: readonly ClassSurface[];
  /** Treads that are seen as rings: 95 percent of their area is narrower than this, mm; 0 without any. */
  readonly ringMm: number;
  /** Edges of the outside that lie on the bed, where the first layer flares, mm. */
  readonly flareMm: number;
  readonly starts: LayerStarts;
}

/** Where the layers of a piece start. hidden: in the direction in which the track is seen least. back: towards the wearer's back. spread: each layer elsewhere. */
export const START_KINDS = ['hidden', 'back', 'spread'] as const;
export type StartKind = (typeof START_KINDS)[number];

/** The track that the starts of its layers leave, one up each outer contour; all 0 and empty when they are spread. */
export interface LayerStarts {
  /** What was asked for, or hidden where the wearer's back is up or down as the piece lies. */
  readonly kind: StartKind;
  /** Of the direction as its file lies on the bed: counter-clockwise from the right, 0 to 360; null when they are spread. */
  readonly bedDeg: number | null;
  readonly trackMm: number;
  /** Of it, what runs where the outside ends at a mating face, and what lies elsewhere on the outside. */
  readonly seamMm: number;
  readonly seenMm: number;
  /** Millimetres in full view that would be as dear, as of a seam. */
  readonly costMm: number;
  /** What lies on the outside, seams apart: xyz interleaved, worn. */
  readonly lines: readonly Float32Array[];
}

export interface SeamSurface {
  readonly seam: string;
  readonly lengthMm: number;
  /** To expect at its outer edge. */
  readonly stepMm: number;
  /** With every face printed off the worse way. */
  readonly worstMm: number;
  /** How deep and wide a groove runs along it, where a mating face was taken back. */
  readonly grooveMm: number;
  readonly rounds: number;
}

/** A layer of paint over all of the outside, from below. */
export interface CoatLayer {
  readonly kind: 'primer' | 'paint' | 'wash' | 'clear';
  readonly base: Base | WashBase;
  readonly coats: number;
  /** With what lies below; null of the first. */
  readonly meets: Meeting | null;
}

/** Something to buy, in whole packs. */
export interface ShoppingLine {
  readonly what: string;
  readonly amount: number;
  readonly unit: 'ml' | 'mm2';
  readonly packs: number;
  readonly pack: string;
}

/** Areas by what sands them, in the order of FINISH_TOOLS: what no tool reaches, then what each is the largest to reach. */
export interface PieceReach {
  readonly piece: string;
  readonly areaMm2: readonly number[];
}

/** A place that a sander reaches, with a wall that its warmth could soften. */
export interface SoftPlace {
  readonly areaMm2: number;
  readonly thinnestMm: number;
  /** Worn. */
  readonly atMm: Vec3;
  /** Of the worn shell. */
  readonly triangles: Uint32Array;
}

export interface SurfaceReach {
  /** As of a piece, of all pieces together. */
  readonly areaMm2: readonly number[];
  readonly pieces: readonly PieceReach[];
  /** Per triangle of the worn shell: 0 on the inside, else 1 + its place in FINISH_TOOLS. */
  readonly perTri: Uint8Array;
  /** Largest first. */
  readonly soft: readonly SoftPlace[];
}

export interface SurfaceRecord {
  readonly kind: 'surface';
  readonly version: 1;
  /** Of the layers it was reckoned with. */
  readonly layerMm: number;
  readonly pieces: readonly PieceSurface[];
  readonly seams: readonly SeamSurface[];
  readonly reach: SurfaceReach;
  /** The most that any place takes. */
  readonly rounds: number;
  /** What is primed in each round, mm2; the first one is all. */
  readonly primedMm2: readonly number[];
  /** On seams and scars, ml: laid on, and left after sanding. */
  readonly fillingMl: { readonly laid: number; readonly left: number };
  /** Steps of the ladder that do not take out the scratches of the paper before. */
  readonly wideSteps: readonly { readonly from: number; readonly to: number; readonly ratio: number }[];
  readonly dewPointC: number;
  readonly coats: readonly CoatLayer[];
  /** One coat of primer just sprayed, micrometres; null from cans, whose sheets do not say. */
  readonly primerWetUm: number | null;
  readonly shopping: readonly ShoppingLine[];
  readonly steps: readonly Step[];
  /** The day on which each step can begin, and the one on which all is hard, when hands rest at night; from 1. */
  readonly days: { readonly starts: readonly number[]; readonly end: number; readonly elapsedS: number };
  /** What the other filler of seams would make of it. */
  readonly otherFiller: {
    readonly seams: 'putty' | 'filler';
    readonly rounds: number;
    readonly handsOnS: number;
    readonly endDay: number;
  };
  /** Hands on each piece, in their order, less setting up and seams, s. */
  readonly piecesS: readonly number[];
  readonly totals: {
    readonly areaMm2: number;
    readonly handsOnS: number;
    readonly unattendedS: number;
  };
}
