// Content hashes, without any platform's help.
import { sha256 as sha } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';

/** SHA-256 (FIPS 180-4) of the parts in order, as 64 hex digits. */
export function sha256Hex(...parts: readonly Uint8Array[]): string {
  const hash = sha.create();
  for (const part of parts) hash.update(part);
  return bytesToHex(hash.digest());
}

export function sha256OfText(text: string): string {
  return sha256Hex(new TextEncoder().encode(text));
}
