// What paints are made of, and which of them may lie on which. Common practice, no source: the can says its own, and a scrap is tried first.

/** lacquer: quick solvents, most cans. enamel: alkyd, oil, slow. water: acrylic in water. */
export const BASES = ['lacquer', 'enamel', 'water'] as const;
export type Base = (typeof BASES)[number];

export const BASE_WORDS: Readonly<Record<Base, string>> = {
  lacquer: 'solvent lacquer',
  enamel: 'enamel',
  water: 'water-borne paint',
};

/** spirit: thin enamel or oil in white spirit. */
export type WashBase = 'water' | 'spirit';

/** again: over itself it goes on soon or late, between the two it wrinkles. dry: once what lies below has dried through. never: it dissolves what lies below. */
export type Meeting = 'again' | 'dry' | 'never';

/** By what lies below, then by what goes over it. */
export const MEETINGS: Readonly<Record<Base, Readonly<Record<Base | WashBase, Meeting>>>> = {
  lacquer: { lacquer: 'again', enamel: 'dry', water: 'dry', spirit: 'dry' },
  enamel: { lacquer: 'never', enamel: 'again', water: 'dry', spirit: 'never' },
  water: { lacquer: 'dry', enamel: 'dry', water: 'dry', spirit: 'dry' },
};

/** Water-borne paint holds on primer that was sanded this fine or finer. Source: data sheet of a plastic primer. */
export const UNDER_WATER_GRADE = 400;
