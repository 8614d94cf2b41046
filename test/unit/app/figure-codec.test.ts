// Figures kept from before there was exposure are read as they were; what is written now comes back whole.
import { describe, expect, it } from 'vitest';
import { decodeFigure, encodeFigure } from '../../../src/app/api/figure-codec.ts';
import { fixtureFigure } from './web/fixture.ts';

const figure = fixtureFigure(0.3);

/** The same bytes with a header that knows nothing of some fields. */
function withoutFields(bytes: Uint8Array<ArrayBuffer>, gone: readonly string[]): ArrayBuffer {
  const length = new DataView(bytes.buffer).getUint32(0, true);
  const header = new TextDecoder().decode(bytes.subarray(4, 4 + length));
  let text = JSON.stringify(JSON.parse(header, (key, value: unknown) => (gone.includes(key) ? undefined : value)));
  text += ' '.repeat((4 - (text.length % 4)) % 4);
  const out = new Uint8Array(4 + text.length + bytes.length - 4 - length);
  new DataView(out.buffer).setUint32(0, text.length, true);
  out.set(new TextEncoder().encode(text), 4);
  out.set(bytes.subarray(4 + length), 4 + text.length);
  return out.buffer;
}

describe('the figure as bytes', () => {
  it('keeps what is hidden, and the prices of seams', () => {
    const back = decodeFigure(encodeFigure(figure).buffer);
    expect(back).toEqual(figure);
    expect(back.parts.every(({ exposure }) => exposure!.hidden.length > 0)).toBe(true);
  });

  it('keeps scars and rings of the parts that have them', () => {
    const [first, ...others] = figure.parts;
    const scarred = {
      ...figure,
      parts: [
        { ...first!, scars: Float32Array.of(1, 2, 3, 4, 5, 6), rings: Float32Array.of(6, 5, 4, 3, 2, 1) },
        ...others,
      ],
    };
    expect(decodeFigure(encodeFigure(scarred).buffer)).toEqual(scarred);
  });

  it('is read without them where they were not written', () => {
    const plain = { ...figure, parts: figure.parts.map((part) => ({ ...part, exposure: null })) };
    const old = withoutFields(encodeFigure(plain), ['exposureLengths', 'outside']);
    expect(decodeFigure(old)).toEqual(plain);
  });
});
