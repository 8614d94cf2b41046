// The figure's few tones on paper and on slate; pieces differ in lightness first, so that they can be told apart in grey.

export type FigureTheme = 'light' | 'dark';
export type Tone = readonly [number, number, number];

export interface FigureTones {
  /** Lit tone of each piece in turn. */
  readonly pieces: readonly Tone[];
  /** Factors of the lit tone: half shade, full shade, and what faces the hollow. */
  readonly steps: readonly [number, number, number];
  /** Factor of the tone where nobody looks, in the chapter on seams. */
  readonly hidden: number;
  readonly hatch: Tone;
  readonly hatchStrength: number;
  readonly outline: Tone;
  readonly crease: Tone;
  readonly seam: Tone;
  /** What the reader moves. */
  readonly yours: Tone;
  /** The way a piece was drawn out. */
  readonly way: Tone;
  /** What pieces that are set back fade to. */
  readonly paper: Tone;
}

const hex = (code: string): Tone =>
  [0, 2, 4].map((at) => Number.parseInt(code.slice(at, at + 2), 16) / 255) as unknown as Tone;

export const FIGURE_TONES: Readonly<Record<FigureTheme, FigureTones>> = {
  light: {
    pieces: ['fffcf4', 'e4dccb', 'f4ecdb', 'd6ccb8', 'ece3d1', 'dcd5c6', 'faf4e6', 'cfc6b3'].map(hex),
    steps: [0.94, 0.85, 0.88],
    hidden: 0.6,
    hatch: hex('3a3630'),
    hatchStrength: 0.34,
    outline: hex('211f1b'),
    crease: hex('4d4841'),
    seam: hex('a3301c'),
    yours: hex('1c4f80'),
    way: hex('8a8375'),
    paper: hex('f5f2ea'),
  },
  dark: {
    pieces: ['6f7a82', '525c64', '616c74', '485159', '5a656d', '4d575e', '69747c', '434c53'].map(hex),
    steps: [0.86, 0.68, 0.74],
    hidden: 0.5,
    hatch: hex('12171b'),
    hatchStrength: 0.5,
    outline: hex('ece9e1'),
    crease: hex('b9bcb9'),
    seam: hex('ff9a7a'),
    yours: hex('8fc0ea'),
    way: hex('8f989d'),
    paper: hex('1e2429'),
  },
};
