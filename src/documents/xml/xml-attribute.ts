// Asks an element for what it is called and for its attributes.
import type { XmlElement } from './xml-scanner.ts';

/** True when the bytes from..to spell `word` (ASCII). */
export function spells(bytes: Uint8Array, span: { from: number; to: number }, word: string): boolean {
  if (span.to - span.from !== word.length) return false;
  for (let i = 0; i < word.length; i++) if (bytes[span.from + i] !== word.charCodeAt(i)) return false;
  return true;
}

export function elementName(element: XmlElement): string {
  return textOf(element.bytes, element.nameFrom, element.nameTo);
}

/** The value of an attribute with references resolved, or undefined when it is not there. */
export function attributeOf(element: XmlElement, name: string): string | undefined {
  const { bytes, attributes } = element;
  for (let a = 0; a < element.numAttributes * 4; a += 4)
    if (spells(bytes, { from: attributes[a]!, to: attributes[a + 1]! }, name))
      return plainText(textOf(bytes, attributes[a + 2]!, attributes[a + 3]!));
  return undefined;
}

export function attributeNames(element: XmlElement): string[] {
  const names: string[] = [];
  for (let a = 0; a < element.numAttributes * 4; a += 4)
    names.push(textOf(element.bytes, element.attributes[a]!, element.attributes[a + 1]!));
  return names;
}

/** Text made fit for an attribute value; characters that XML cannot hold are left out. */
export function escapeXml(text: string): string {
  let out = '';
  for (const c of text) {
    const named = ESCAPES.get(c);
    if (named !== undefined) out += named;
    else if (c >= ' ' && c !== '\ufffe' && c !== '\uffff') out += c;
  }
  return out;
}

const ESCAPES = new Map([
  ['&', '&amp;'],
  ['<', '&lt;'],
  ['>', '&gt;'],
  ['"', '&quot;'],
]);
const NAMED: Readonly<Record<string, string>> = { lt: '<', gt: '>', amp: '&', quot: '"', apos: "'" };

function plainText(text: string): string {
  if (!text.includes('&')) return text;
  return text.replace(/&(#x[0-9a-fA-F]+|#[0-9]+|[a-z]+);/g, (whole, ref: string) => {
    if (!ref.startsWith('#')) return NAMED[ref] ?? whole;
    const code = ref.startsWith('#x') ? Number.parseInt(ref.slice(2), 16) : Number.parseInt(ref.slice(1), 10);
    return code > 0 && code <= 0x10ffff ? String.fromCodePoint(code) : '\ufffd';
  });
}

function textOf(bytes: Uint8Array, from: number, to: number): string {
  return new TextDecoder().decode(bytes.subarray(from, to));
}
