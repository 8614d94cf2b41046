// The book as data: sentences with numbers in them. The page, book.html and (later) the PDF all set the same text.
import type { Finding, Where } from '../../base/findings.ts';

/** How a quantity is shown; the reader chooses millimetres or inches, the record is always in these units. */
export type Unit = 'mm' | 'mm2' | 'mm3' | 'g' | 'm' | 's' | 'deg' | 'percent' | 'count' | 'factor' | 'mm/s' | 'mm/s2';

export type Span =
  | { readonly s: 'text'; readonly text: string }
  /** Emphasis: a name of a piece, a term. */
  | { readonly s: 'term'; readonly text: string }
  /** Computed, not editable. */
  | { readonly s: 'quantity'; readonly value: number; readonly unit: Unit; readonly digits: number }
  /** The maker's number, changed in place. `path` points into the build file. */
  | {
      readonly s: 'number';
      readonly path: string;
      readonly label: string;
      readonly value: number;
      readonly unit: Unit;
      readonly digits: number;
      readonly min: number;
      readonly max: number;
      readonly step: number;
      readonly usual: number | null;
      /** Chapters that recompute when it changes. */
      readonly follows: readonly string[];
    }
  /** The maker's choice, changed in place. `value` is the JSON of what is set at `path`. */
  | {
      readonly s: 'choice';
      readonly path: string;
      readonly label: string;
      readonly value: string;
      readonly options: readonly { readonly value: string; readonly label: string }[];
      readonly follows: readonly string[];
    }
  /** Places on the model that the maker points at in the figure. Reads as the end of a sentence after a colon: "pick three places
   *  that lie level", or, once set, "three places that lie level are set, forget them or pick others". */
  | {
      readonly s: 'points';
      readonly path: string;
      readonly label: string;
      readonly count: number;
      /** As the build has them, file space, mm; null: none. */
      readonly value: readonly (readonly [number, number, number])[] | null;
      /** After the number: "places that lie level". */
      readonly what: string;
      /** Where to point, for example: "on the neck rim". */
      readonly such: string;
      readonly follows: readonly string[];
    }
  /** A word that puts an entry into the list at `path`, or takes it out. Reads as nothing where nothing can be changed. */
  | {
      readonly s: 'deed';
      readonly path: string;
      readonly label: string;
      readonly says: string;
      readonly does: 'add' | 'remove';
      /** JSON of the entry; where it stands in the list, and of how many, when it is to go. */
      readonly entry: string;
      readonly index: number;
      readonly of: number;
      readonly follows: readonly string[];
    }
  /** A choice of one entry of the list at `path`, or of none of them; the other entries of the list stay. */
  | {
      readonly s: 'entry';
      readonly path: string;
      readonly label: string;
      /** JSON of each entry; null is none of them. */
      readonly options: readonly { readonly entry: string | null; readonly label: string }[];
      /** What stands now. */
      readonly value: string | null;
      readonly follows: readonly string[];
    }
  /** Places on the model that the maker points at, as many as it takes, from which a new entry of the list at `path` is made: a seam
   *  through them, or an area that they go round. Levelled, unscaled model space. Reads as nothing where nothing can be changed. */
  | {
      readonly s: 'places';
      readonly path: string;
      readonly label: string;
      readonly makes: 'seam' | 'area';
      /** Its name, until it gets another. */
      readonly name: string;
      readonly least: number;
      readonly most: number;
      /** "point at places it goes through". */
      readonly says: string;
      /** After the ordinal: "place that the seam goes through". */
      readonly what: string;
      readonly such: string;
      readonly follows: readonly string[];
    }
  /** A print of the book that the maker has printed: which, what it took and what it weighed. Reads as nothing where nothing can be changed. */
  | {
      readonly s: 'measured';
      /** The lists that it adds to are those of the prints; this is the first of them. */
      readonly path: string;
      readonly label: string;
      readonly prints: readonly MeasurablePrint[];
      /** Least and most that are taken. */
      readonly tookS: readonly [number, number];
      readonly weighedG: readonly [number, number];
      readonly follows: readonly string[];
    }
  /** A name that the maker may change in place. */
  | {
      readonly s: 'name';
      readonly path: string;
      readonly label: string;
      readonly value: string;
      readonly follows: readonly string[];
    }
  /** A plane that the maker holds, told by how far it stands along one axis and how it leans, each changed in place, also by dragging
   *  it in the figure. `path` points at an asked seam (its first point and its normal), in levelled, unscaled model space. */
  | {
      readonly s: 'plane';
      readonly path: string;
      readonly label: string;
      /** JSON of the asked seam. */
      readonly entry: string;
      /** The plane at worn size: the record has it also where the points alone tell it. */
      readonly normal: readonly [number, number, number];
      readonly offsetMm: number;
      /** Worn over unscaled. */
      readonly scale: number;
      /** Height of the worn model: tilts turn about the middle of its box. */
      readonly heightMm: number;
      readonly follows: readonly string[];
    };

/** A print that may be noted as measured. */
export interface MeasurablePrint {
  readonly label: string;
  /** The list of measured prints of its machine, in the build file. */
  readonly path: string;
  /** JSON of the entry, but for what was measured. */
  readonly entry: string;
  /** By the machine's figures alone. */
  readonly estimatedS: number;
  readonly estimatedG: number;
}

/** heavy to fine: a seam in the open; crease: in a crease; unseen: hardly looked at. */
export type LinePen = 'heavy' | 'middle' | 'fine' | 'crease' | 'unseen';

export type Block =
  /** A paragraph. `offers`: it tells nothing, it only lets the maker choose; a report on paper or a terminal leaves it out. */
  | { readonly b: 'say'; readonly spans: readonly Span[]; readonly offers?: true }
  | {
      readonly b: 'table';
      readonly caption: string;
      /** `offers`: it tells nothing, it only lets the maker choose; left out where nothing can be changed. */
      readonly columns: readonly { readonly head: string; readonly align: 'start' | 'end'; readonly offers?: true }[];
      readonly rows: readonly (readonly (readonly Span[])[])[];
      readonly total?: readonly (readonly Span[])[];
    }
  | { readonly b: 'finding'; readonly finding: Finding }
  | { readonly b: 'caution'; readonly title: string; readonly text: string }
  /** `where`: as for a finding, when what was refused has a place on the model. */
  | {
      readonly b: 'refusal';
      readonly code: string;
      readonly why: string;
      readonly tryThis: string;
      readonly where?: Where;
    }
  /** A line drawing, by name; the drawings come beside the text. */
  | {
      readonly b: 'drawing';
      readonly name: string;
      readonly caption: string;
      /** What its red lines say, each with the pen it is drawn with. */
      readonly pens?: readonly { readonly pen: LinePen; readonly says: string }[];
      /** What stands at each name in it: how long, and why it lies there. */
      readonly names?: readonly (readonly Span[])[];
    }
  /** One bar a print: seconds of each twentieth of its height. */
  | {
      readonly b: 'strip';
      readonly caption: string;
      readonly rows: readonly { readonly label: string; readonly seconds: readonly number[] }[];
    };

export type ChapterName = 'model' | 'wearer' | 'pieces' | 'joints' | 'printing' | 'beds' | 'assembly' | 'surface';
export const CHAPTER_NAMES: readonly ChapterName[] = [
  'model',
  'wearer',
  'pieces',
  'joints',
  'printing',
  'beds',
  'assembly',
  'surface',
];

/** A question that the program answered by a guess, or could not answer. */
export interface Decision {
  readonly chapter: ChapterName;
  /** "Which way is up?" */
  readonly asks: string;
  /** Path of the control in the build file that answers it. */
  readonly path: string;
}

export interface ChapterText {
  readonly name: ChapterName;
  readonly title: string;
  /** One line under the title: what the chapter answers. */
  readonly asks: string;
  readonly state: 'computed' | 'refused' | 'waiting';
  readonly fingerprint: string;
  /** What the maker has to decide here, because it was guessed or could not be done otherwise. */
  readonly decisions: readonly Decision[];
  readonly blocks: readonly Block[];
  /** Findings and cautions, set in the margin. */
  readonly margin: readonly Block[];
}

export interface BookText {
  readonly kind: 'book-text';
  readonly version: 1;
  readonly title: string;
  /** The build in three or four sentences. */
  readonly standfirst: readonly Block[];
  readonly chapters: readonly ChapterText[];
}

/** SVG by name: 'whole' (assembled), 'apart' (pieces apart), 'piece-A' ... (as laid). */
export type Drawings = Readonly<Record<string, string>>;
