// Printing materials by generic trade name. Densities and their grades: docs/facts.md.
import type { Material } from '../process/material.ts';

const PACK = { packG: 1000, packPrice: null, revision: 1 } as const;

export const PLA: Material = { id: 'pla', name: 'PLA', densityGCm3: 1.24, filamentMm: 1.75, ...PACK };
export const PETG: Material = { id: 'petg', name: 'PETG', densityGCm3: 1.27, filamentMm: 1.75, ...PACK };
export const ABS: Material = { id: 'abs', name: 'ABS', densityGCm3: 1.04, filamentMm: 1.75, ...PACK };
export const ASA: Material = { id: 'asa', name: 'ASA', densityGCm3: 1.07, filamentMm: 1.75, ...PACK };

/** A wall thinner than this can soften under a powered sander, mm: PLA softens near 60 degrees, PETG near 80, ABS and ASA near 100. Common practice, no source; of others as of PLA. */
export function softWallMm(material: string): number {
  return SOFT_WALL_MM[material] ?? 2;
}

const SOFT_WALL_MM: Readonly<Record<string, number>> = { pla: 2, petg: 1.5, abs: 1.2, asa: 1.2 };
