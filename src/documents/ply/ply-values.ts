// The values of a PLY file one after another, whatever their encoding.
import { decimalAt } from '../text/decimal.ts';
import { lineOf, wordAt } from '../text/text-place.ts';
import { PLY_BYTES, type PlyEncoding, type PlyScalar } from './ply-header.ts';

/** Gives the next value of a type. After the end, or at a word that is no number, it gives 0 and remembers the trouble. */
export interface PlyValues {
  /** Behind the last value taken. */
  at: number;
  /** Where the next value begins. */
  start(): number;
  take(type: PlyScalar): number;
  /** Passes over `count` values of a type. */
  skip(type: PlyScalar, count: number): void;
  /** Most values of a type that the rest of the file can hold. */
  room(type: PlyScalar): number;
  trouble: PlyTrouble | null;
  /** Where a byte is, in words. */
  placeOf(at: number): string;
}

export interface PlyTrouble {
  readonly kind: 'ends' | 'no number';
  readonly at: number;
  readonly word: string;
}

export function plyValues(bytes: Uint8Array, at: number, encoding: PlyEncoding): PlyValues {
  return encoding === 'ascii' ? asciiValues(bytes, at) : binaryValues(bytes, at, encoding === 'little');
}

function asciiValues(bytes: Uint8Array, from: number): PlyValues {
  const toWord = (): number => {
    let i = values.start();
    while (i < bytes.length && bytes[i]! > 32) i++;
    return i;
  };
  const fail = (trouble: PlyTrouble): number => {
    values.trouble ??= trouble;
    values.at = bytes.length;
    return 0;
  };
  const values: PlyValues = {
    at: from,
    trouble: null,
    start() {
      while (values.at < bytes.length && bytes[values.at]! <= 32) values.at++;
      return values.at;
    },
    take() {
      const end = toWord();
      if (end === values.at) return fail({ kind: 'ends', at: bytes.length, word: '' });
      const number = decimalAt(bytes, values.at, end);
      if (number === undefined) return fail({ kind: 'no number', at: values.at, word: wordAt(bytes, values.at) });
      values.at = end;
      return number;
    },
    skip(_type, count) {
      for (let i = 0; i < count; i++) {
        const end = toWord();
        if (end === values.at) {
          fail({ kind: 'ends', at: bytes.length, word: '' });
          return;
        }
        values.at = end;
      }
    },
    room: () => (bytes.length - values.at + 1) / 2,
    placeOf: (at) => `line ${lineOf(bytes, at)}`,
  };
  return values;
}

function binaryValues(bytes: Uint8Array, from: number, isLittle: boolean): PlyValues {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const values: PlyValues = {
    at: from,
    trouble: null,
    start: () => values.at,
    take(type) {
      const at = values.at;
      const next = at + PLY_BYTES[type];
      if (next > bytes.length) {
        values.trouble ??= { kind: 'ends', at: bytes.length, word: '' };
        return 0;
      }
      values.at = next;
      switch (type) {
        case 'i8':
          return view.getInt8(at);
        case 'u8':
          return view.getUint8(at);
        case 'i16':
          return view.getInt16(at, isLittle);
        case 'u16':
          return view.getUint16(at, isLittle);
        case 'i32':
          return view.getInt32(at, isLittle);
        case 'u32':
          return view.getUint32(at, isLittle);
        case 'f32':
          return view.getFloat32(at, isLittle);
        case 'f64':
          return view.getFloat64(at, isLittle);
      }
    },
    skip(type, count) {
      const next = values.at + PLY_BYTES[type] * count;
      if (next > bytes.length) values.trouble ??= { kind: 'ends', at: bytes.length, word: '' };
      else values.at = next;
    },
    room: (type) => (bytes.length - values.at) / PLY_BYTES[type],
    placeOf: (at) => `byte ${at}`,
  };
  return values;
}
