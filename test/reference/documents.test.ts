// Facts about file formats from outside the project, against what is read and written here.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readModel } from '../../src/documents/read-model.ts';
import { writeStl } from '../../src/documents/stl/write-stl.ts';
import { crc32 } from '../../src/documents/zip/crc32.ts';
import { bounds } from '../../src/mesh/measure.ts';
import { meshOf } from '../../src/mesh/mesh.ts';

const factOf = (name: string): number =>
  (JSON.parse(readFileSync(join(import.meta.dirname, `${name}.json`), 'utf8')) as { value: number }).value;

describe('facts about files', () => {
  it('a million facets of binary STL', () => {
    const mesh = meshOf(
      Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0),
      new Uint32Array(3_000_000).map((_, i) => i % 3),
    );
    expect(writeStl(mesh, { title: '' }).length).toBe(factOf('stl-million-facets'));
  });
  it('the inch', () => {
    const mesh = meshOf(Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0), Uint32Array.of(0, 1, 2));
    const read = readModel(writeStl(mesh, { title: '' }), { unit: 'in' });
    expect(read.ok && bounds(read.value.mesh).maxMm[0]).toBe(factOf('inch'));
  });
  it('the check value of CRC-32', () => {
    expect(crc32(new TextEncoder().encode('123456789'))).toBe(factOf('crc32-check'));
  });
});
