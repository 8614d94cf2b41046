// The numbers in a 3MF model part: vertices, triangles and transforms out of attributes, with no string made for the frequent ones.
import type { Transform } from '../../mesh/transform.ts';
import type { GrowingFloats, GrowingIndices } from '../growing.ts';
import { decimalAt } from '../text/decimal.ts';
import { spells } from '../xml/xml-attribute.ts';
import type { XmlElement, XmlTrouble } from '../xml/xml-scanner.ts';

/** Trouble whose numbers are not finite is told apart, as it has a code of its own. */
export interface PartTrouble extends XmlTrouble {
  readonly notFinite?: true;
}

/** 12 numbers, or null. */
export function transformOf(text: string): Transform | null {
  const words = text.trim().split(/\s+/);
  if (words.length !== 12) return null;
  const numbers = words.map((word) => decimalAt(new TextEncoder().encode(word), 0, word.length));
  return numbers.includes(undefined) ? null : (numbers as number[]);
}

export function takeVertex(vertices: GrowingFloats, element: XmlElement): PartTrouble | null {
  const { attributes } = element;
  let x: number | undefined;
  let y: number | undefined;
  let z: number | undefined;
  for (let a = 0; a < element.numAttributes * 4; a += 4) {
    if (attributes[a + 1]! - attributes[a]! !== 1) continue;
    const letter = element.bytes[attributes[a]!]!;
    if (letter === 0x78) x = numberAt(element, a);
    else if (letter === 0x79) y = numberAt(element, a);
    else if (letter === 0x7a) z = numberAt(element, a);
  }
  if (x === undefined || y === undefined || z === undefined)
    return hasXmlSpace(element) ?? { say: `vertex ${vertices.used / 3} has not three numbers`, at: element.nameFrom };
  const sx = Math.fround(x);
  const sy = Math.fround(y);
  const sz = Math.fround(z);
  vertices.push3(sx, sy, sz);
  return null;
}

export function takeTriangle(triangles: GrowingIndices, element: XmlElement): XmlTrouble | null {
  const { attributes, bytes } = element;
  let v1 = -1;
  let v2 = -1;
  let v3 = -1;
  for (let a = 0; a < element.numAttributes * 4; a += 4) {
    const from = attributes[a]!;
    if (attributes[a + 1]! - from !== 2 || bytes[from] !== 0x76) continue;
    const digit = bytes[from + 1]!;
    if (digit === 0x31) v1 = indexAt(element, a);
    else if (digit === 0x32) v2 = indexAt(element, a);
    else if (digit === 0x33) v3 = indexAt(element, a);
  }
  if (v1 < 0 || v2 < 0 || v3 < 0)
    return { say: `triangle ${triangles.used / 3} has not three vertex numbers`, at: element.nameFrom };
  triangles.push3(v1, v2, v3);
  return null;
}

/** White space around a number is allowed (attribute values collapse). */
function numberAt(element: XmlElement, a: number): number | undefined {
  const { bytes, attributes } = element;
  let from = attributes[a + 2]!;
  let to = attributes[a + 3]!;
  while (from < to && bytes[from]! <= 32) from++;
  while (to > from && bytes[to - 1]! <= 32) to--;
  return decimalAt(bytes, from, to);
}

function indexAt(element: XmlElement, a: number): number {
  const { bytes, attributes } = element;
  let value = 0;
  let digits = 0;
  let gap = false;
  for (let i = attributes[a + 2]!; i < attributes[a + 3]!; i++) {
    const d = bytes[i]! - 48;
    if (d >= 0 && d <= 9 && !gap) {
      value = value * 10 + d;
      digits++;
    } else if (bytes[i]! <= 32) gap = digits > 0;
    else return -1;
  }
  return digits > 0 && value < 0x7fffffff ? value : -1;
}

/** xml:space must not be used in a 3MF document (core specification, chapter 2.3.4). */
export function hasXmlSpace(element: XmlElement): XmlTrouble | null {
  const { bytes, attributes } = element;
  for (let a = 0; a < element.numAttributes * 4; a += 4)
    if (spells(bytes, { from: attributes[a]!, to: attributes[a + 1]! }, 'xml:space'))
      return { say: 'the attribute xml:space is not allowed in a 3MF', at: attributes[a]! };
  return null;
}

export function notFinite(what: string, at: number): PartTrouble {
  return { say: `${what} has a number that is not finite`, at, notFinite: true };
}
