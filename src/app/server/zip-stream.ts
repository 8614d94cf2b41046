// A zip archive written while it is sent: packed off the main thread, never whole in memory.
import { createReadStream } from 'node:fs';
import { Readable } from 'node:stream';
import { crc32, createDeflateRaw } from 'node:zlib';

export interface ZipPart {
  readonly name: string;
  /** The bytes, or the path of a file that holds them. */
  readonly from: Uint8Array | string | { readonly path: string };
}

/** Parts in the order given, deflated, dated 1980-01-01; sizes and check sum follow each part's data (bit 3 of its flags). A part
 *  and the whole stay under 4 GB.  Cost: that of deflate at level 1, in the platform's threads; memory of a few blocks.
 *  Format: APPNOTE 6.3.10, sections 4.3.7 to 4.3.16. */
export function zipStream(parts: Iterable<ZipPart> | AsyncIterable<ZipPart>): Readable {
  return Readable.from(chunksOf(parts), { objectMode: false });
}

interface Packed {
  readonly name: Buffer;
  readonly headerAt: number;
  readonly crc: number;
  readonly packedBytes: number;
  readonly unpackedBytes: number;
}

const VERSION_NEEDED = 20;
/** Sizes follow the data; the name is UTF-8. */
const FLAGS = 0x0808;
const DEFLATED = 8;
const DATE_1980_01_01 = 0x0021;
const MOST_BYTES = 0xffffffff;

async function* chunksOf(parts: Iterable<ZipPart> | AsyncIterable<ZipPart>): AsyncGenerator<Buffer> {
  const packed: Packed[] = [];
  let at = 0;
  for await (const part of parts) {
    const name = Buffer.from(part.name);
    const headerAt = at;
    const header = localHeader(name);
    yield header;
    at += header.length;
    const counts = { crc: 0, unpackedBytes: 0 };
    let packedBytes = 0;
    const deflated = Readable.from(counted(part.from, counts), { objectMode: false }).pipe(
      createDeflateRaw({ level: 1 }),
    );
    for await (const chunk of deflated) {
      packedBytes += (chunk as Buffer).length;
      yield chunk as Buffer;
    }
    packed.push({ name, headerAt, packedBytes, ...counts });
    const sizes = sizesAfter(packed.at(-1)!);
    yield sizes;
    at += packedBytes + sizes.length;
    if (at > MOST_BYTES || counts.unpackedBytes > MOST_BYTES) throw new Error('an archive stays under 4 GB');
  }
  const directory = Buffer.concat(packed.map(directoryEntry));
  yield directory;
  yield endRecord(packed.length, directory.length, at);
}

async function* counted(
  from: ZipPart['from'],
  counts: { crc: number; unpackedBytes: number },
): AsyncGenerator<Uint8Array> {
  for await (const chunk of blocksOf(from)) {
    counts.crc = crc32(chunk, counts.crc);
    counts.unpackedBytes += chunk.length;
    yield chunk;
  }
}

/** In blocks, so that counting a large part lets others in between. */
async function* blocksOf(from: ZipPart['from']): AsyncGenerator<Uint8Array> {
  if (typeof from === 'string') yield Buffer.from(from);
  else if (from instanceof Uint8Array)
    for (let at = 0; at < from.length; at += BLOCK_BYTES) yield from.subarray(at, at + BLOCK_BYTES);
  else for await (const chunk of createReadStream(from.path, { highWaterMark: BLOCK_BYTES })) yield chunk as Buffer;
}

const BLOCK_BYTES = 1 << 18;

function localHeader(name: Buffer): Buffer {
  const header = Buffer.alloc(30 + name.length);
  header.writeUInt32LE(0x04034b50, 0);
  header.writeUInt16LE(VERSION_NEEDED, 4);
  header.writeUInt16LE(FLAGS, 6);
  header.writeUInt16LE(DEFLATED, 8);
  header.writeUInt16LE(DATE_1980_01_01, 12);
  header.writeUInt16LE(name.length, 26);
  name.copy(header, 30);
  return header;
}

function sizesAfter({ crc, packedBytes, unpackedBytes }: Packed): Buffer {
  const sizes = Buffer.alloc(16);
  sizes.writeUInt32LE(0x08074b50, 0);
  sizes.writeUInt32LE(crc, 4);
  sizes.writeUInt32LE(packedBytes, 8);
  sizes.writeUInt32LE(unpackedBytes, 12);
  return sizes;
}

function directoryEntry({ name, headerAt, crc, packedBytes, unpackedBytes }: Packed): Buffer {
  const entry = Buffer.alloc(46 + name.length);
  entry.writeUInt32LE(0x02014b50, 0);
  entry.writeUInt16LE(VERSION_NEEDED, 4);
  entry.writeUInt16LE(VERSION_NEEDED, 6);
  entry.writeUInt16LE(FLAGS, 8);
  entry.writeUInt16LE(DEFLATED, 10);
  entry.writeUInt16LE(DATE_1980_01_01, 14);
  entry.writeUInt32LE(crc, 16);
  entry.writeUInt32LE(packedBytes, 20);
  entry.writeUInt32LE(unpackedBytes, 24);
  entry.writeUInt16LE(name.length, 28);
  entry.writeUInt32LE(headerAt, 42);
  name.copy(entry, 46);
  return entry;
}

function endRecord(count: number, directoryBytes: number, directoryAt: number): Buffer {
  const end = Buffer.alloc(22);
  end.writeUInt32LE(0x06054b50, 0);
  end.writeUInt16LE(count, 8);
  end.writeUInt16LE(count, 10);
  end.writeUInt32LE(directoryBytes, 12);
  end.writeUInt32LE(directoryAt, 16);
  return end;
}
