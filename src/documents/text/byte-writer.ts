// Builds text as bytes: numbers are spelled straight into the buffer, because a million strings cost more than the file.

/** Grows as needed; lives until `taken`. */
export class ByteWriter {
  private bytes: Uint8Array<ArrayBuffer>;
  private used = 0;

  constructor(expectedBytes: number) {
    this.bytes = new Uint8Array(Math.max(1024, expectedBytes));
  }

  /** Text of any kind, as UTF-8. */
  text(text: string): void {
    this.raw(new TextEncoder().encode(text));
  }

  raw(piece: Uint8Array): void {
    this.room(piece.length);
    const { bytes } = this;
    let at = this.used;
    for (let i = 0; i < piece.length; i++) bytes[at++] = piece[i]!;
    this.used = at;
  }

  /** A whole number from 0 to 2^53. */
  whole(value: number): void {
    this.room(17);
    this.used = spellWhole(this.bytes, this.used, value);
  }

  /** The shortest decimal that rounds to the single-precision number `value` (already rounded by Math.fround).
   *  Method: 6, 7, 8, then 9 significant digits until the number read back is the same; 9 always suffice (Matula 1968).
   *  6 digits or fewer are unique, so zeros may then be cut off.  Cost: about 70 ns. */
  single(value: number): void {
    this.room(40);
    let size = value;
    if (value < 0 || Object.is(value, -0)) {
      this.bytes[this.used++] = MINUS;
      size = -value;
    }
    if (size === 0) this.bytes[this.used++] = ZERO;
    else if (size < SMALLEST_PLAIN || size >= LARGEST_PLAIN) this.text(shortestExponent(size));
    else this.used = spellShortest(this.bytes, this.used, size);
  }

  taken(): Uint8Array<ArrayBuffer> {
    return this.bytes.subarray(0, this.used);
  }

  private room(more: number): void {
    if (this.used + more <= this.bytes.length) return;
    const larger = new Uint8Array(Math.max(this.bytes.length * 2, this.used + more));
    larger.set(this.bytes);
    this.bytes = larger;
  }
}

const MINUS = 45;
const POINT = 46;
const ZERO = 48;
const SMALLEST_PLAIN = 1e-6;
const LARGEST_PLAIN = 1e9;
const POWERS = Float64Array.from({ length: 17 }, (_, i) => Number(`1e${i}`));

function spellWhole(bytes: Uint8Array, at: number, value: number): number {
  let digits = 1;
  while (digits < 16 && value >= POWERS[digits]!) digits++;
  let rest = value;
  for (let i = at + digits - 1; i >= at; i--) {
    const tenth = Math.floor(rest / 10);
    bytes[i] = ZERO + (rest - tenth * 10);
    rest = tenth;
  }
  return at + digits;
}

function spellShortest(bytes: Uint8Array, start: number, size: number): number {
  const integerDigits = digitsBeforePoint(size);
  let decimals = 0;
  let scaled = 0;
  for (let digits = 6; digits <= 9; digits++) {
    decimals = Math.max(0, digits - integerDigits);
    scaled = Math.round(size * POWERS[decimals]!);
    if (Math.fround(scaled / POWERS[decimals]!) === size) break;
  }
  while (decimals > 0 && scaled % 10 === 0) {
    scaled /= 10;
    decimals--;
  }
  if (decimals === 0) return spellWhole(bytes, start, scaled);
  const whole = Math.floor(scaled / POWERS[decimals]!);
  let at = spellWhole(bytes, start, whole);
  bytes[at++] = POINT;
  let rest = scaled - whole * POWERS[decimals]!;
  for (let i = at + decimals - 1; i >= at; i--) {
    const tenth = Math.floor(rest / 10);
    bytes[i] = ZERO + (rest - tenth * 10);
    rest = tenth;
  }
  return at + decimals;
}

/** 3 for 123.4; 0 for 0.5; -2 for 0.001. */
function digitsBeforePoint(size: number): number {
  let digits = 0;
  if (size >= 1) while (digits < 10 && size >= POWERS[digits]!) digits++;
  else while (size * POWERS[1 - digits]! < 1) digits--;
  return digits;
}

function shortestExponent(size: number): string {
  for (let digits = 1; digits < 9; digits++) {
    const text = size.toExponential(digits - 1);
    if (Math.fround(Number(text)) === size) return text;
  }
  return size.toExponential(8);
}
