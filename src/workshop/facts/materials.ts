// Printing materials by generic trade name. Densities and their grades: docs/facts.md.
import type { Material } from '../process/material.ts';

const PACK = { packG: 1000, packPrice: null, revision: 1 } as const;

export const PLA: Material = { id: 'pla', name: 'PLA', densityGCm3: 1.24, filamentMm: 1.75, ...PACK };
export const PETG: Material = { id: 'petg', name: 'PETG', densityGCm3: 1.27, filamentMm: 1.75, ...PACK };
export const ABS: Material = { id: 'abs', name: 'ABS', densityGCm3: 1.04, filamentMm: 1.75, ...PACK };
export const ASA: Material = { id: 'asa', name: 'ASA', densityGCm3: 1.07, filamentMm: 1.75, ...PACK };
