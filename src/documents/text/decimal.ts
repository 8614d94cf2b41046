// Reads one decimal number from bytes without making a string: the inner loop of every text reader.

/** The number written in bytes[from, to), or undefined when it is none. Takes a sign, digits, one point, an exponent, and
 *  nan, inf, infinity in any case (given back as such; the caller decides). White space must already be cut off.
 *  Exact: up to 15 digits with |exponent| <= 22 both factors are exact doubles, so one rounding remains (Clinger 1990);
 *  anything longer goes through the engine's own parser. Cost: about 12 ns. */
export function decimalAt(bytes: Uint8Array, from: number, to: number): number | undefined {
  let i = from;
  const sign = bytes[i]!;
  if (sign === MINUS || sign === PLUS) i++;
  let mantissa = 0;
  let digits = 0;
  let seen = 0;
  let scale = 0;
  let point = 0;
  for (; i < to; i++) {
    const d = bytes[i]! - 48;
    if (d >= 0 && d <= 9) {
      seen++;
      if (digits > 0 || d > 0) digits++;
      mantissa = mantissa * 10 + d;
      scale += point;
    } else if (bytes[i] === POINT && point === 0) point = 1;
    else break;
  }
  if (seen === 0) return notANumber(bytes, from, to);
  let exponent = 0;
  if (i < to) {
    if (bytes[i] === HASH) return Number.NaN; // 1.#QNAN, 1.#INF: how one run-time library prints what is no number
    if ((bytes[i]! | 32) !== SMALL_E) return undefined;
    const read = exponentAt(bytes, i + 1, to);
    if (read === undefined) return undefined;
    exponent = read;
  }
  const power = exponent - scale;
  if (digits > 15 || power > 22 || power < -22) return Number(latinText(bytes, from, to));
  const size = power < 0 ? mantissa / POWERS[-power]! : mantissa * POWERS[power]!;
  return sign === MINUS ? -size : size;
}

const MINUS = 45;
const PLUS = 43;
const POINT = 46;
const HASH = 35;
const SMALL_E = 101;
/** 10^0 to 10^22: the powers of ten that a double holds exactly. */
const POWERS = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));

function exponentAt(bytes: Uint8Array, from: number, to: number): number | undefined {
  let i = from;
  const sign = bytes[i];
  if (sign === MINUS || sign === PLUS) i++;
  if (i >= to) return undefined;
  let value = 0;
  for (; i < to; i++) {
    const d = bytes[i]! - 48;
    if (d < 0 || d > 9) return undefined;
    value = Math.min(value * 10 + d, 100000);
  }
  return sign === MINUS ? -value : value;
}

function notANumber(bytes: Uint8Array, from: number, to: number): number | undefined {
  const word = latinText(bytes, from, Math.min(to, from + 32)).toLowerCase();
  if (/^[+-]?nan/.test(word)) return Number.NaN;
  if (/^[+-]?inf(inity)?$/.test(word)) return word.startsWith('-') ? -Infinity : Infinity;
  return undefined;
}

function latinText(bytes: Uint8Array, from: number, to: number): string {
  let text = '';
  for (let i = from; i < to; i++) text += String.fromCharCode(bytes[i]!);
  return text;
}
