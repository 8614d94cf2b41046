// Writes meshes as one 3MF: every piece a named object, laid out side by side, the same bytes for the same pieces.
import { invariant } from '../../base/invariant.ts';
import type { Mesh } from '../../mesh/mesh.ts';
import { ByteWriter } from '../text/byte-writer.ts';
import { escapeXml } from '../xml/xml-attribute.ts';
import { type Deflate, PLAIN_DEFLATE, writeZip } from '../zip/write-zip.ts';
import { CORE_NAMESPACE } from './model-part.ts';
import { spreadShifts } from './spread.ts';

export interface ThreemfPiece {
  readonly name: string;
  /** mm. */
  readonly mesh: Mesh;
}

export interface ThreemfWriteOptions {
  readonly title: string;
  /** spread: in rows with gaps, lowest point at z = 0 (a survey of the kit, not one bed). as-is: where the meshes are. */
  readonly placement: 'spread' | 'as-is';
  readonly gapMm: number;
  readonly deflate: Deflate;
}

export const THREEMF_WRITE_DEFAULTS: ThreemfWriteOptions = {
  title: 'pieces',
  placement: 'spread',
  gapMm: 10,
  deflate: PLAIN_DEFLATE,
};

/** A 3MF package in millimetres. Coordinates are rounded to single precision and spelled as the shortest decimal that reads
 *  back as the same; placement is a shift of the build item, so objects keep their own coordinates.
 *  Cost: about 0.5 s of XML and 1 s of plain deflate per million triangles (a native deflate may be handed in).
 *  Source: 3MF core specification 1.4; docs/methods/threemf.md. */
export function writeThreemf(
  pieces: readonly ThreemfPiece[],
  options: Partial<ThreemfWriteOptions> = THREEMF_WRITE_DEFAULTS,
): Uint8Array<ArrayBuffer> {
  const all = { ...THREEMF_WRITE_DEFAULTS, ...options };
  invariant(pieces.length > 0, 'a 3MF holds at least one piece');
  const utf8 = new TextEncoder();
  const parts = [
    { name: '[Content_Types].xml', bytes: utf8.encode(CONTENT_TYPES) },
    { name: '_rels/.rels', bytes: utf8.encode(RELATIONSHIPS) },
    { name: '3D/3dmodel.model', bytes: modelXml(pieces, all) },
  ];
  return writeZip(parts, all.deflate);
}

const PROLOG = '<?xml version="1.0" encoding="UTF-8"?>\n';
const CONTENT_TYPES = `${PROLOG}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>`;
const RELATIONSHIPS = `${PROLOG}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>`;

function modelXml(pieces: readonly ThreemfPiece[], options: ThreemfWriteOptions): Uint8Array {
  let expected = 2048;
  for (const { mesh } of pieces) expected += mesh.triangles.length * 16 + mesh.positions.length * 18 + 300;
  const out = new ByteWriter(expected);
  out.text(`${PROLOG}<model unit="millimeter" xml:lang="en-US" xmlns="${CORE_NAMESPACE}">\n`);
  out.text(`<metadata name="Title">${escapeXml(options.title)}</metadata>\n`);
  out.text('<metadata name="Application">helmwright</metadata>\n<resources>\n');
  pieces.forEach((piece, i) => {
    out.text(`<object id="${i + 1}" type="model" name="${escapeXml(piece.name)}"><mesh><vertices>\n`);
    writeVertices(out, piece.mesh.positions);
    out.text('</vertices><triangles>\n');
    writeTriangles(out, piece.mesh.triangles);
    out.text('</triangles></mesh></object>\n');
  });
  out.text('</resources>\n<build>\n');
  const shifts =
    options.placement === 'spread'
      ? spreadShifts(
          pieces.map((p) => p.mesh),
          options.gapMm,
        )
      : null;
  pieces.forEach((_, i) => {
    const shift = shifts?.[i];
    const transform = shift === undefined ? '' : ` transform="1 0 0 0 1 0 0 0 1 ${shift.join(' ')}"`;
    out.text(`<item objectid="${i + 1}"${transform}/>\n`);
  });
  out.text('</build>\n</model>\n');
  return out.taken();
}

const ascii = (text: string) => Uint8Array.from(text, (c) => c.charCodeAt(0));
const VERTEX_X = ascii('<vertex x="');
const VERTEX_Y = ascii('" y="');
const VERTEX_Z = ascii('" z="');
const TRIANGLE_1 = ascii('<triangle v1="');
const TRIANGLE_2 = ascii('" v2="');
const TRIANGLE_3 = ascii('" v3="');
const CLOSE = ascii('"/>\n');

function writeVertices(out: ByteWriter, positions: Float64Array): void {
  for (let i = 0; i < positions.length; i += 3) {
    const x = Math.fround(positions[i]!);
    const y = Math.fround(positions[i + 1]!);
    const z = Math.fround(positions[i + 2]!);
    const sum = x + y + z;
    invariant(sum - sum === 0, 'coordinates written to a file are finite in single precision');
    out.raw(VERTEX_X);
    out.single(x);
    out.raw(VERTEX_Y);
    out.single(y);
    out.raw(VERTEX_Z);
    out.single(z);
    out.raw(CLOSE);
  }
}

function writeTriangles(out: ByteWriter, triangles: Uint32Array): void {
  for (let i = 0; i < triangles.length; i += 3) {
    out.raw(TRIANGLE_1);
    out.whole(triangles[i]!);
    out.raw(TRIANGLE_2);
    out.whole(triangles[i + 1]!);
    out.raw(TRIANGLE_3);
    out.whole(triangles[i + 2]!);
    out.raw(CLOSE);
  }
}
