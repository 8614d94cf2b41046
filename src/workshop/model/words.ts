// Measures and places in the sentences of this chapter's findings and refusals.
import type { Vec3 } from '../../mesh/mesh.ts';

/** Three digits, at least a tenth of a micrometre. */
export function millimetres(value: number): string {
  const magnitude = Math.abs(value);
  const digits = magnitude >= 100 ? 0 : magnitude >= 10 ? 1 : magnitude >= 1 ? 2 : magnitude >= 0.1 ? 3 : 4;
  return `${Number(value.toFixed(digits))} mm`;
}

export function place(p: Vec3): string {
  return `(${p.map((v) => String(Math.round(v * 10) / 10)).join(', ')}) mm`;
}

export function plural(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}
