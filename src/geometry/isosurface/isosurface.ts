// From a field that is negative inside a solid to the closed triangle mesh around it.
import { invariant } from '../../base/invariant.ts';
import { partOfWork, QUIET_WORK, type Work } from '../../base/work.ts';
import { type Mesh, meshOf } from '../../mesh/mesh.ts';
import { type Blocks, findBlocks } from './isosurface-blocks.ts';
import type { Field, IsosurfaceOptions, SurfaceSource } from './isosurface-field.ts';
import { fieldSource } from './isosurface-hits.ts';
import { linkQuads } from './isosurface-quads.ts';
import { largestShell } from './isosurface-shell.ts';
import { placeVertices } from './isosurface-vertices.ts';

export type { Field, IsosurfaceOptions };

export const ISOSURFACE_DEFAULTS = { steepest: 1.3, keep: 'largest' } as const;

/** The largest closed surface on which the field is zero. Guaranteed: every edge in exactly two triangles that run opposite ways,
 *  one fan per vertex, outward normals, one shell unless `keep` is 'all'. Sharp edges of the field stay sharp where a cell can see them.
 *  About 3 * area / cell^2 triangles. Symmetric about x = 0 up to rounding when the field is (cells straddle that plane).
 *  Space: that of the field, mm. Cost: about eight values of the field a triangle; 150 bytes a triangle at peak.
 *  Method: dual contouring (Ju et al. 2002) with one vertex a patch (Nielson 2004), blocks of 8^3 cells followed along the surface;
 *  docs/methods/isosurface.md. Weak: details below a cell are lost or joined; triangles of one cell can cross those of the next
 *  where a wall is thinner than a cell. */
export function isosurface(
  field: Field,
  options: Omit<IsosurfaceOptions, 'steepest'> & { readonly steepest?: number; readonly keep?: 'largest' | 'all' },
  work: Work = QUIET_WORK,
): Mesh {
  const full = { ...ISOSURFACE_DEFAULTS, ...options };
  invariant(full.cellMm > 0, 'cells have a size');
  const blocks = findBlocks(field, full, partOfWork(work, 0, 0.4));
  const mesh = contourBlocks(fieldSource(field, blocks.grid), blocks, partOfWork(work, 0.4, 0.95));
  work.tick(0.95, 'keeping the largest surface');
  return full.keep === 'all' ? mesh : largestShell(mesh);
}

/** The closed surface between the samples inside and those outside, all its shells; guaranteed as {@link isosurface}.
 *  Samples on the border of the grid must be outside. Cost: one hit a crossed edge, two distances a vertex. */
export function contourBlocks(source: SurfaceSource, blocks: Blocks, work: Work = QUIET_WORK): Mesh {
  const quads = linkQuads(source, blocks, work);
  const positions = placeVertices(blocks.grid, quads);
  return meshOf(positions, quads.triangles(positions));
}
