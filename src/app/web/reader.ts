// What every part of the book's text asks about its reader: measure, whether numbers can be changed, what is held, what is picked.
import { createContext, useContext } from 'react';
import type { Finding } from '../../base/findings.ts';
import type { SurfaceLine } from '../../geometry/line-on-triangles.ts';
import type { Plane } from '../../geometry/plane.ts';
import type { Block, Span } from '../../workshop/book/book-text.ts';
import type { Problem } from '../api/api.ts';
import type { Workshop } from '../api/workshop.ts';
import type { Measure } from './format.ts';

/** Changing the build in place; absent in book.html. */
export interface Editing {
  /** What stands at a path now, edits on their way included; undefined when the build does not say. */
  valueAt(path: string): unknown;
  /** `follows`: the chapters that will have to be computed again. */
  set(path: string, value: unknown, follows: readonly string[]): void;
  /** Why the last change at this path was not taken. */
  problemAt(path: string): Problem | undefined;
}

/** Picking out a piece of the figure from the text. */
export interface Holding {
  readonly ids: ReadonlySet<string>;
  readonly held: string | null;
  hold(id: string | null): void;
}

/** What has a place: a finding, or what was refused. */
export type Placed = Finding | Extract<Block, { b: 'refusal' }>;

/** Places of findings: the same small letter in the note and in the figure; absent where there is no figure beside the text. */
export interface Places {
  letterOf(finding: Placed): string | undefined;
  readonly raised: string | null;
  raise(letter: string | null): void;
  /** Turns the figure so that the place faces the reader. */
  show(letter: string): void;
}

export type PointsSpan = Extract<Span, { s: 'points' }>;
export type PlacesSpan = Extract<Span, { s: 'places' }>;
export type PlaneSpan = Extract<Span, { s: 'plane' }>;

/** Pointing at places of the model in the figure; absent where there is none. */
export interface Picking {
  /** What is being picked, and the places so far, mm: in file space for points, in levelled, unscaled model space for places of a seam
   *  or an area; with unit normals. Null when nothing is picked. */
  readonly now: {
    readonly span: PointsSpan | PlacesSpan;
    readonly points: readonly Point[];
    readonly normals: readonly Point[];
  } | null;
  begin(span: PointsSpan | PlacesSpan): void;
  /** Makes the seam or the area of the places so far, when they are enough. */
  finish(): void;
  giveUp(): void;
}

/** A seam that is being moved, at worn size: the numbers of its sentence, or a drag in the figure. */
export interface MovedSeam {
  readonly span: PlaneSpan;
  readonly plane: Plane;
  /** Its line on the outside, with length and cost; null while the figure's data are on their way. */
  readonly line: SurfaceLine | null;
  /** Whether the figure lets it be dragged. */
  readonly isDragged: boolean;
}

export interface Moving {
  readonly now: MovedSeam | null;
  /** Makes ready to tell the cost: the data are fetched where they are not there yet. */
  prepare(): void;
  /** Where the seam would stand; told at once, nothing is set. */
  move(span: PlaneSpan, plane: Plane): void;
  /** From now on it may be dragged in the figure. */
  drag(span: PlaneSpan): void;
  /** Sets the build to where the seam stands now. */
  set(): void;
  giveUp(): void;
}

export type Point = readonly [number, number, number];

export interface Reader {
  readonly measure: Measure;
  readonly editing: Editing | null;
  readonly holding: Holding | null;
  readonly picking: Picking | null;
  readonly places: Places | null;
  /** What there is to choose from for machines and materials; null where it is not known. */
  readonly workshop: Workshop | null;
  /** What the book is called where two stand side by side: a name of its own for everything that is there twice. */
  readonly side?: string;
}

/** Reads only: nothing to change, no figure. */
export const PLAIN_READER: Reader = {
  measure: 'mm',
  editing: null,
  holding: null,
  picking: null,
  places: null,
  workshop: null,
};

export const ReaderContext = createContext<Reader>(PLAIN_READER);

export function useReader(): Reader {
  return useContext(ReaderContext);
}
