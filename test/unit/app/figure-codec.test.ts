// Figures kept from before there was exposure are read as they were; what is written now comes back whole.
import { describe, expect, it } from 'vitest';
import { decodeFigure, encodeFigure, PART_LINES } from '../../../src/app/api/figure-codec.ts';
import { fixtureFigure } from './web/fixture.ts';

const figure = fixtureFigure(0.3);

/** The same bytes with a header that knows nothing of some fields. */
function withoutFields(bytes: Uint8Array<ArrayBuffer>, gone: readonly string[]): ArrayBuffer {
  return withHeader(
    bytes,
    (header) =>
      JSON.parse(JSON.stringify(header, (key, value: unknown) => (gone.includes(key) ? undefined : value))) as object,
  );
}

function withHeader(bytes: Uint8Array<ArrayBuffer>, change: (header: Record<string, unknown>) => object): ArrayBuffer {
  const length = new DataView(bytes.buffer).getUint32(0, true);
  const header = new TextDecoder().decode(bytes.subarray(4, 4 + length));
  let text = JSON.stringify(change(JSON.parse(header) as Record<string, unknown>));
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

  it('keeps what is marked on the parts that have it, to a hundredth of a millimetre', () => {
    const [first, ...others] = figure.parts;
    const lines = Float32Array.from({ length: 60 }, (_, i) => 150 * Math.sin(i * 1.7));
    const marked = Object.fromEntries(PART_LINES.map((name, i) => [name, lines.map((v) => v * (i - 1))]));
    const back = decodeFigure(encodeFigure({ ...figure, parts: [{ ...first!, ...marked }, ...others] }).buffer);
    expect(back.parts.slice(1)).toEqual(others);
    for (const name of PART_LINES)
      for (let i = 0; i < lines.length; i++)
        expect(Math.abs(back.parts[0]![name]![i]! - marked[name]![i]!)).toBeLessThan(0.01);
  });

  it('keeps a map on which there is nothing to mark', () => {
    const empty = { ...figure, parts: figure.parts.map((part) => ({ ...part, warm: new Float32Array() })) };
    expect(decodeFigure(encodeFigure(empty).buffer)).toEqual(empty);
  });

  it('reads scars and rings from before they lay on a grid', () => {
    const parts = figure.parts.map((part) => ({ ...part, exposure: null }));
    const [scars, rings] = [Float32Array.of(1, 2, 3, 4, 5, 6), Float32Array.of(6, 5, 4, 3, 2, 1)];
    const bytes = encodeFigure({ ...figure, parts });
    const header = (part: object, index: number) => (index === 1 ? { ...part, scarsLength: 6, ringsLength: 6 } : part);
    const old = withHeader(bytes, ({ parts: before, ...rest }) => ({
      ...rest,
      parts: (before as object[]).map(header),
    }));
    const whole = new Uint8Array(old.byteLength + 48);
    whole.set(new Uint8Array(old));
    whole.set(new Uint8Array(scars.buffer), old.byteLength);
    whole.set(new Uint8Array(rings.buffer), old.byteLength + 24);
    expect(decodeFigure(whole.buffer).parts).toEqual(
      parts.map((part, index) => (index === 1 ? { ...part, scars, rings } : part)),
    );
  });

  it('is read without them where they were not written', () => {
    const plain = { ...figure, parts: figure.parts.map((part) => ({ ...part, exposure: null })) };
    const old = withoutFields(encodeFigure(plain), ['exposureLengths', 'outside']);
    expect(decodeFigure(old)).toEqual(plain);
  });
});
