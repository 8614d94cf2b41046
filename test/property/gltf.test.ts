// Scenes written by the glTF library are read as the library itself places them: vertices, transforms, triangles.
import { Document, Logger, type Node, Verbosity, WebIO } from '@gltf-transform/core';
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../src/base/random.ts';
import { readGltf } from '../../src/documents/gltf/read-gltf.ts';

const SEED = 1618;

/** A tree of nodes with random transforms, some of them mirrored, over a few meshes used again and again. */
function randomScene(random: () => number): Document {
  const document = new Document().setLogger(new Logger(Verbosity.SILENT));
  const buffer = document.createBuffer();
  const meshes = Array.from({ length: 3 }, () => {
    const numVerts = 4 + Math.floor(random() * 20);
    const positions = Float32Array.from({ length: numVerts * 3 }, () => random() * 2 - 1);
    const indices = Uint16Array.from({ length: 3 * (1 + Math.floor(random() * 20)) }, () =>
      Math.floor(random() * numVerts),
    );
    const primitive = document
      .createPrimitive()
      .setAttribute(
        'POSITION',
        document
          .createAccessor()
          .setType('VEC3')
          .setArray(positions)
          .setBuffer(buffer)
          .setSparse(random() < 0.3),
      )
      .setIndices(document.createAccessor().setType('SCALAR').setArray(indices).setBuffer(buffer));
    return document.createMesh().addPrimitive(primitive);
  });
  const scene = document.createScene();
  const nodes: Node[] = [];
  for (let k = 0; k < 12; k++) {
    const angle = random() * Math.PI;
    const node = document
      .createNode()
      .setTranslation([random() * 4 - 2, random() * 4 - 2, random() * 4 - 2])
      .setRotation([Math.sin(angle) * 0.6, 0, Math.sin(angle) * 0.8, Math.cos(angle)])
      .setScale([random() < 0.4 ? -1.5 : 0.5 + random(), 0.5 + random(), 0.5 + random()]);
    if (random() < 0.7) node.setMesh(meshes[Math.floor(random() * 3)]!);
    const parent = nodes[Math.floor(random() * (nodes.length + 1))];
    if (parent === undefined) scene.addChild(node);
    else parent.addChild(node);
    nodes.push(node);
  }
  return document.getRoot().setDefaultScene(scene) && document;
}

/** Corners of every triangle in mm, nodes in the order of the walk. */
function placedByLibrary(document: Document): number[] {
  const out: number[] = [];
  document
    .getRoot()
    .getDefaultScene()!
    .traverse((node) => {
      const m = node.getWorldMatrix();
      const isMirrored = det(m) < 0;
      for (const primitive of node.getMesh()?.listPrimitives() ?? []) {
        const indices = primitive.getIndices()!;
        const positions = primitive.getAttribute('POSITION')!;
        for (let i = 0; i < indices.getCount(); i += 3)
          for (const k of isMirrored ? [0, 2, 1] : [0, 1, 2]) {
            const [x, y, z] = positions.getElement(indices.getScalar(i + k), [0, 0, 0]) as [number, number, number];
            for (let c = 0; c < 3; c++) out.push(1000 * (m[c]! * x + m[c + 4]! * y + m[c + 8]! * z + m[c + 12]!));
          }
      }
    });
  return out;
}

function det(m: readonly number[]): number {
  return (
    m[0]! * (m[5]! * m[10]! - m[6]! * m[9]!) -
    m[1]! * (m[4]! * m[10]! - m[6]! * m[8]!) +
    m[2]! * (m[4]! * m[9]! - m[5]! * m[8]!)
  );
}

describe(`glTF (seed ${SEED})`, () => {
  it('places what the library places', async () => {
    const random = randomStream(SEED);
    for (let k = 0; k < 40; k++) {
      const document = randomScene(random);
      const wanted = placedByLibrary(document);
      const read = readGltf(await new WebIO().setLogger(new Logger(Verbosity.SILENT)).writeBinary(document));
      if (wanted.length === 0) continue;
      if (!read.ok) throw new Error(read.why);
      const { positions, triangles } = read.value.mesh;
      expect(triangles.length * 3).toBe(wanted.length);
      let worst = 0;
      for (let h = 0; h < triangles.length; h++)
        for (let c = 0; c < 3; c++)
          worst = Math.max(worst, Math.abs(positions[triangles[h]! * 3 + c]! - wanted[h * 3 + c]!));
      expect(worst).toBeLessThan(1e-6);
    }
  });
});
