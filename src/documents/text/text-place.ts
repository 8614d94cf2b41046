// Where in a text file something stands, for messages: line, byte, and the word itself made harmless.

/** The number of the line, from 1, that holds byte `at`. LF, CR and CRLF end lines. Cost: O(at). */
export function lineOf(bytes: Uint8Array, at: number): number {
  let line = 1;
  for (let i = 0; i < at; i++) if (bytes[i] === 10 || (bytes[i] === 13 && bytes[i + 1] !== 10)) line++;
  return line;
}

/** The word at a place, shortened and with everything unprintable replaced. */
export function wordAt(bytes: Uint8Array, at: number): string {
  let word = '';
  for (let i = at; i < bytes.length && bytes[i]! > 32 && word.length < 24; i++)
    word += bytes[i]! < 127 ? String.fromCharCode(bytes[i]!) : '?';
  return word;
}

/** Text from a file, shortened, on one line and without control characters. */
export function harmless(text: string): string {
  const clean = Array.from(text.slice(0, 80), (c) => (c < ' ' || c === '\u007f' ? '?' : c)).join('');
  return text.length > 80 ? `${clean.slice(0, 77)}...` : clean;
}
