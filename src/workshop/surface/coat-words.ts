// A layer of paint in words.
import { BASE_WORDS } from '../facts/coats.ts';
import type { CoatLayer } from '../process/surface-record.ts';

const KINDS = { primer: 'filler primer', paint: 'colour', wash: 'wash', clear: 'clear coat' } as const;

/** "colour, solvent lacquer". */
export function coatWords({ kind, base }: Pick<CoatLayer, 'kind' | 'base'>): string {
  if (kind === 'wash') return base === 'spirit' ? 'wash in white spirit' : 'wash in water';
  return `${KINDS[kind]}, ${base === 'spirit' ? 'enamel' : BASE_WORDS[base]}`;
}
