// The text kind of STL, as found in the wild: any case, any white space, any line end, comments, missing or several solids.
import { done, type Finding, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import type { Work } from '../../base/work.ts';
import { leaveOutCorners } from '../leave-out.ts';
import { decimalAt } from '../text/decimal.ts';
import { lineOf, wordAt } from '../text/text-place.ts';
import { STL_WHERE, type StlSoup, stlFinding } from './stl-soup.ts';

/** Reads ASCII STL in one pass over the bytes, without making a string per line; see readStl. */
export function readAsciiStl(bytes: Uint8Array, work: Work): Outcome<StlSoup> {
  const scan: Scan = {
    bytes,
    at: bytes[0] === 0xef ? 3 : 0,
    corners: new Float32Array(9 * Math.max(16, Math.ceil(bytes.length / 200))),
    used: 0,
    facetStart: NOT_IN_FACET,
    solids: 0,
    closed: 0,
    name: '',
    firstNotFinite: '',
  };
  const trouble = scanWords(scan, work);
  if (trouble !== null) return trouble;
  const kept = leaveOutCorners(scan.corners.slice(0, scan.used), { path: 'stl', first: scan.firstNotFinite });
  if (!kept.ok) return kept;
  const soup: StlSoup = { kind: 'ascii', corners: kept.value, parts: Math.max(1, scan.solids) };
  return done(scan.name === '' ? soup : { ...soup, name: scan.name }, [...solidFindings(scan), ...kept.findings]);
}

const NOT_IN_FACET = -1;

interface Scan {
  readonly bytes: Uint8Array;
  at: number;
  corners: Float32Array;
  used: number;
  /** Value of `used` where the open facet began. */
  facetStart: number;
  solids: number;
  closed: number;
  name: string;
  /** Where the first number that is none stands, in words. */
  firstNotFinite: string;
}

// Keywords in lower case, the frequent ones first; compared byte by byte so that nothing is allocated per word.
const KEYWORDS = ['vertex', 'facet', 'normal', 'outer', 'loop', 'endloop', 'endfacet', 'endsolid', 'solid'] as const;
type Keyword = (typeof KEYWORDS)[number];
const KEYWORD_BYTES = KEYWORDS.map((word) => Uint8Array.from(word, (c) => c.charCodeAt(0)));

/** About 20 ms of work. */
const TICK_BYTES = 1 << 21;

function scanWords(scan: Scan, work: Work): Refusal | null {
  const { bytes } = scan;
  let tickAt = TICK_BYTES;
  for (;;) {
    skipSpace(scan);
    if (scan.at >= bytes.length) break;
    if (scan.at > tickAt) {
      work.tick(scan.at / bytes.length, 'reading the model file');
      tickAt = scan.at + TICK_BYTES;
    }
    const start = scan.at;
    if (isComment(bytes, start)) {
      skipLine(scan);
      continue;
    }
    skipWord(scan);
    const keyword = keywordAt(bytes, start, scan.at);
    if (keyword === null) return malformed(scan, start, 'is not a word of this format');
    const trouble = keyword === 'vertex' ? takeVertex(scan, start) : takeKeyword(scan, keyword, start);
    if (trouble !== null) return trouble;
  }
  return scan.facetStart === NOT_IN_FACET ? null : cutShort(scan);
}

function takeKeyword(scan: Scan, keyword: Keyword, start: number): Refusal | null {
  const inFacet = scan.facetStart !== NOT_IN_FACET;
  if (keyword === 'facet') {
    if (inFacet) return malformed(scan, start, 'begins a facet inside another');
    scan.facetStart = scan.used;
  } else if (keyword === 'normal') skipNormal(scan);
  else if (keyword === 'endfacet') {
    if (!inFacet || scan.used - scan.facetStart !== 9)
      return malformed(scan, start, 'closes a facet without 3 corners');
    scan.facetStart = NOT_IN_FACET;
  } else if (keyword === 'solid' || keyword === 'endsolid') {
    if (inFacet) return malformed(scan, start, 'stands inside a facet');
    takeSolid(scan, keyword);
  }
  return null;
}

/** The rest of the line is a free name, which may hold words of the format. */
function takeSolid(scan: Scan, keyword: 'solid' | 'endsolid'): void {
  const from = scan.at;
  skipLine(scan);
  if (keyword === 'endsolid') scan.closed++;
  else {
    scan.solids++;
    if (scan.name === '') scan.name = nameBetween(scan.bytes, from, scan.at);
  }
}

function takeVertex(scan: Scan, start: number): Refusal | null {
  if (scan.facetStart === NOT_IN_FACET) return malformed(scan, start, 'stands outside a facet');
  if (scan.used - scan.facetStart >= 9) return malformed(scan, start, 'is the fourth corner of a facet');
  if (scan.used + 3 > scan.corners.length) grow(scan);
  for (let i = 0; i < 3; i++) {
    skipSpace(scan);
    const at = scan.at;
    skipWord(scan);
    if (at === scan.at) return cutShort(scan);
    const value = decimalAt(scan.bytes, at, scan.at);
    if (value === undefined) return malformed(scan, at, 'is not a number');
    const single = Math.fround(value);
    if (single - single !== 0 && scan.firstNotFinite === '') scan.firstNotFinite = placeOf(scan, at);
    scan.corners[scan.used++] = single;
  }
  return null;
}

/** Normals are recomputed, so three words are passed over; fewer when the writer left some out. */
function skipNormal(scan: Scan): void {
  for (let i = 0; i < 3; i++) {
    skipSpace(scan);
    const first = (scan.bytes[scan.at] ?? 0) | 32;
    if (first === 0x6f || first === 0x76) return; // o(uter), v(ertex)
    skipWord(scan);
  }
}

function grow(scan: Scan): void {
  const larger = new Float32Array(scan.corners.length * 2);
  larger.set(scan.corners);
  scan.corners = larger;
}

function skipSpace(scan: Scan): void {
  while (scan.at < scan.bytes.length && scan.bytes[scan.at]! <= 32) scan.at++;
}

function skipWord(scan: Scan): void {
  while (scan.at < scan.bytes.length && scan.bytes[scan.at]! > 32) scan.at++;
}

function skipLine(scan: Scan): void {
  while (scan.at < scan.bytes.length && scan.bytes[scan.at] !== 10 && scan.bytes[scan.at] !== 13) scan.at++;
}

/** A comment begins with #, ; or // and runs to the end of its line. The format knows none, but people write them. */
function isComment(bytes: Uint8Array, at: number): boolean {
  const b = bytes[at]!;
  return b === 0x23 || b === 0x3b || (b === 0x2f && bytes[at + 1] === 0x2f);
}

function keywordAt(bytes: Uint8Array, from: number, to: number): Keyword | null {
  for (let k = 0; k < KEYWORDS.length; k++) {
    const word = KEYWORD_BYTES[k]!;
    if (word.length !== to - from) continue;
    let i = 0;
    while (i < word.length && (bytes[from + i]! | 32) === word[i]) i++;
    if (i === word.length) return KEYWORDS[k]!;
  }
  return null;
}

function nameBetween(bytes: Uint8Array, from: number, to: number): string {
  return new TextDecoder().decode(bytes.subarray(from, Math.min(to, from + 200))).trim();
}

function solidFindings(scan: Scan): Finding[] {
  const findings: Finding[] = [];
  if (scan.closed < scan.solids) {
    const say = 'The file does not say where its solid ends; if it was cut there, triangles are missing.';
    findings.push(stlFinding('STL_END_MISSING', say, { measured: scan.closed, limit: scan.solids }));
  }
  if (scan.solids > 1) {
    const say = `The file holds ${scan.solids} solids; they were read as one.`;
    findings.push(stlFinding('STL_SEVERAL_SOLIDS', say, { measured: scan.solids, limit: 1 }));
  }
  return findings;
}

function triangleNumber(scan: Scan): number {
  return Math.floor(Math.min(scan.used, Math.max(scan.facetStart, 0) + 8) / 9) + 1;
}

function cutShort(scan: Scan): Refusal {
  return refuse('FILE_TRUNCATED', `The file ends inside triangle ${triangleNumber(scan)}.`, { where: STL_WHERE });
}

function placeOf(scan: Scan, at: number): string {
  return `triangle ${triangleNumber(scan)}, byte ${at}: "${wordAt(scan.bytes, at)}"`;
}

function malformed(scan: Scan, at: number, what: string): Refusal {
  const line = lineOf(scan.bytes, at);
  const why = `"${wordAt(scan.bytes, at)}" in line ${line} (byte ${at}, triangle ${triangleNumber(scan)}) ${what}.`;
  return refuse('FILE_MALFORMED', why, { where: { path: `stl: line ${line}, byte ${at}` } });
}
