// The pieces of a kit as they stand in its files, posed in the model by the plan alone.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { moved, plainStl } from '../plain-stl.ts';
import type { Corners } from './written-seams.ts';

export interface KitPiece {
  readonly id: string;
  readonly laid: Corners;
  /** Model space at worn size. */
  readonly posed: Corners;
}

interface PlanPieces {
  readonly pieces: readonly { readonly id: string; readonly file: string; readonly toModel: readonly number[] }[];
}

/** dir: a folder with plan.json and the files it names. */
export function kitPieces(dir: string): readonly KitPiece[] {
  const plan = JSON.parse(readFileSync(join(dir, 'plan.json'), 'utf8')) as PlanPieces;
  return plan.pieces.map(({ id, file, toModel }) => {
    const laid = plainStl(join(dir, file));
    return { id, laid, posed: moved(laid, toModel) };
  });
}
