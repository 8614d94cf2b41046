// The layers of paint from below, and how each meets the one it goes over.
import { type Base, MEETINGS } from '../facts/coats.ts';
import type { CoatLayer } from '../process/surface-record.ts';
import type { SurfaceSettings } from './surface-settings.ts';

type Unmet = Omit<CoatLayer, 'meets'>;

/** Primer, colour, clear coat before a wash, the wash, clear coat after it: those that are wanted. A wash is so thin that what lies under it decides what may go over it. */
export function coatLayers({ primerBase, primerCoats, paint, clear, wash }: SurfaceSettings): readonly CoatLayer[] {
  const layers: CoatLayer[] = [{ kind: 'primer', base: primerBase, coats: primerCoats, meets: null }];
  let lying: Base = primerBase;
  const put = (layer: Unmet): void => {
    layers.push({ ...layer, meets: MEETINGS[lying][layer.base] });
  };
  const seal = (): void => {
    if (clear.base === 'none') return;
    put({ kind: 'clear', base: clear.base, coats: clear.coats });
    lying = clear.base;
  };
  if (paint.base !== 'none') {
    put({ kind: 'paint', base: paint.base, coats: paint.coats });
    lying = paint.base;
  }
  if (wash === 'none') seal();
  else {
    if (clear.when !== 'after') seal();
    put({ kind: 'wash', base: wash, coats: 1 });
    if (clear.when !== 'before') seal();
  }
  return layers;
}
