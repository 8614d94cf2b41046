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

/** What sands a place, worst first: nothing flat reaches it and paper is folded or wrapped round a stick; then each tool of the ladder. handsS: seconds of hands for
 *  a square centimetre with one paper. */
export const FINISH_TOOLS = [
  { name: 'folded paper', handsS: 'foldedS' },
  { name: 'swab', handsS: 'swabS' },
  { name: 'finger', handsS: 'fingerS' },
  { name: 'block', handsS: 'blockS' },
  { name: 'sander', handsS: 'sanderS' },
] as const satisfies readonly { name: string; handsS: FinishNumberName }[];
