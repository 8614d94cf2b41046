// What fills, sands and sprays a printed surface, by kind. Numbers that may be changed, with their sources: finish-numbers.ts.
import type { FinishNumberName } from './finish-numbers.ts';

export type FillerName = 'primer' | 'resin' | 'putty' | 'filler';

export interface FillerFacts {
  readonly name: string;
  readonly pack: string;
  readonly packMl: FinishNumberName;
}

export const FILLERS: Readonly<Record<FillerName, FillerFacts>> = {
  primer: { name: 'filler primer', pack: 'can', packMl: 'canMl' },
  resin: { name: 'brush-on resin', pack: 'bottle', packMl: 'resinPackMl' },
  putty: { name: 'one-part glazing putty', pack: 'tube', packMl: 'puttyPackMl' },
  filler: { name: 'two-part filler', pack: 'tin', packMl: 'fillerPackMl' },
};

/** What sands a place, worst first: nothing flat reaches it and paper is folded or wrapped round a stick; then each tool of the ladder. heightMm: of what follows
 *  behind its face and may not run into the piece, common practice, no source. handsS: seconds of hands for a square centimetre with one paper. */
export const FINISH_TOOLS = [
  { name: 'folded paper', heightMm: 0, handsS: 'foldedS' },
  { name: 'swab', heightMm: 12, handsS: 'swabS' },
  { name: 'finger', heightMm: 20, handsS: 'fingerS' },
  { name: 'block', heightMm: 40, handsS: 'blockS' },
  { name: 'sander', heightMm: 100, handsS: 'sanderS' },
] as const satisfies readonly { name: string; heightMm: number; handsS: FinishNumberName }[];
