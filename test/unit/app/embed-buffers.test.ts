import { Buffer } from 'node:buffer';
import { describe, expect, it } from 'vitest';
import { embedBuffers } from '../../../src/app/embed-buffers.ts';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const scene = (value: unknown): Uint8Array => bytes(JSON.stringify(value));
const read = (of: Uint8Array): { buffers: { uri?: string; byteLength: number; name?: string }[] } =>
  JSON.parse(new TextDecoder().decode(of)) as never;

describe('embedding the buffers of a scene', () => {
  it.each([0, 1, 2, 3, 4, 1000, 70_001])('gives back %i bytes as they were', (length) => {
    const file = Uint8Array.from({ length }, (_, i) => (i * 37 + 11) & 255);
    const whole = embedBuffers(scene({ asset: {}, buffers: [{ uri: 'a.bin', byteLength: length }] }), () => file);
    const uri = whole.ok ? read(whole.value).buffers[0]!.uri! : '';
    expect(uri).toMatch(/^data:application\/octet-stream;base64,/);
    expect(Buffer.from(uri.slice(uri.indexOf(',') + 1), 'base64').equals(Buffer.from(file))).toBe(true);
  });

  it('takes several buffers, one file twice, names with spaces, and words like its own', () => {
    const asked: string[] = [];
    const whole = embedBuffers(
      scene({
        asset: { generator: 'buffer buffer~' },
        buffers: [
          { uri: 'two%20words.bin', byteLength: 3, name: 'buffer' },
          { byteLength: 2 },
          { uri: 'data:application/octet-stream;base64,AAAA', byteLength: 3 },
          { uri: './b.bin', byteLength: 1 },
          { uri: 'b.bin', byteLength: 1 },
        ],
      }),
      (name) => {
        asked.push(name);
        return bytes(name[0]!);
      },
    );
    expect(asked).toEqual(['two words.bin', 'b.bin']);
    if (!whole.ok) throw new Error();
    const { buffers } = read(whole.value);
    expect(buffers.map(({ uri }) => uri?.split(',')[1])).toEqual(['dA==', undefined, 'AAAA', 'Yg==', 'Yg==']);
    expect(buffers[0]!.name).toBe('buffer');
  });

  it('names every file that is missing', () => {
    const some = scene({ buffers: [{ uri: 'a.bin' }, { uri: 'b.bin' }, { uri: 'c.bin' }] });
    const whole = embedBuffers(some, (name) => (name === 'b.bin' ? bytes('b') : null));
    expect(whole).toMatchObject({ ok: false, code: 'RESOURCE_MISSING' });
    expect(!whole.ok && whole.why).toContain('"a.bin", "c.bin"');
  });

  it('never asks for a path or an address', () => {
    const sly = scene({ buffers: [{ uri: '../secret' }, { uri: 'http://example.org/a.bin' }, { uri: '/etc/passwd' }] });
    const whole = embedBuffers(sly, () => {
      throw new Error('asked');
    });
    expect(whole.ok && whole.value).toBe(sly);
  });

  it('hands on what is no scene', () => {
    for (const other of [bytes('solid x'), bytes('[1]'), bytes('null'), scene({ asset: {} }), new Uint8Array()]) {
      const whole = embedBuffers(other, () => null);
      expect(whole.ok && whole.value).toBe(other);
    }
  });
});
