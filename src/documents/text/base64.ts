// Base64 in a data URI to bytes, in one pass and without a platform's help.

/** Decodes RFC 4648 base64, padded or not, from text[from..]. Null when a character is none of the alphabet. Cost: O(n). */
export function decodeBase64(text: string, from: number): Uint8Array | null {
  let end = text.length;
  while (end > from && text.charCodeAt(end - 1) === 0x3d && text.length - end < 2) end--;
  const digits = end - from;
  if (digits % 4 === 1) return null;
  const out = new Uint8Array(Math.floor((digits * 3) / 4));
  let bits = 0;
  let held = 0;
  let used = 0;
  for (let i = from; i < end; i++) {
    const code = text.charCodeAt(i);
    const value = code < 128 ? VALUES[code]! : -1;
    if (value < 0) return null;
    bits = ((bits << 6) | value) & 0xffffff;
    held += 6;
    if (held < 8) continue;
    held -= 8;
    out[used++] = (bits >> held) & 0xff;
  }
  return out;
}

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
const VALUES = new Int8Array(128).fill(-1);
for (let i = 0; i < ALPHABET.length; i++) VALUES[ALPHABET.charCodeAt(i)] = i;
