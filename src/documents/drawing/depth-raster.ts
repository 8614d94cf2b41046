// What the eye sees first at each point of the paper: depth and triangle, on a fine raster.

/** pixels in rows from the top. tri: number of the triangle seen, counted through all parts, or -1. */
export interface DepthRaster {
  readonly width: number;
  readonly height: number;
  /** Paper mm from one pixel to the next. */
  readonly pixelMm: number;
  readonly depth: Float32Array;
  readonly tri: Int32Array;
  /** By triangle: change of depth per paper mm to the right, and down. */
  readonly slopes: Float32Array;
  /** By triangle: part. */
  readonly partOfTri: Uint16Array;
}

export interface PaperPart {
  /** n x 3: paper x, y, depth. */
  readonly points: Float32Array;
  readonly triangles: Uint32Array;
}

export interface RasterSize {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly pixelsPerMm: number;
}

/** Draws all triangles, facing or not, nearest wins.  Cost: O(triangles + pixels covered), about 0.2 s per million triangles. */
export function depthRaster(parts: readonly PaperPart[], size: RasterSize): DepthRaster {
  const width = Math.max(2, Math.ceil(size.widthMm * size.pixelsPerMm));
  const height = Math.max(2, Math.ceil(size.heightMm * size.pixelsPerMm));
  const numTris = parts.reduce((sum, part) => sum + part.triangles.length / 3, 0);
  const raster: DepthRaster = {
    width,
    height,
    pixelMm: 1 / size.pixelsPerMm,
    depth: new Float32Array(width * height).fill(Infinity),
    tri: new Int32Array(width * height).fill(-1),
    slopes: new Float32Array(numTris * 2),
    partOfTri: new Uint16Array(numTris),
  };
  let tri = 0;
  parts.forEach((part, p) => {
    for (let i = 0; i < part.triangles.length; i += 3, tri++) {
      raster.partOfTri[tri] = p;
      drawTriangle(raster, part, i, tri);
    }
  });
  return raster;
}

/** Row by row, within the stretch where all three edges have the pixel on their inner side; a pixel more at either end, tested like the rest. */
function drawTriangle(raster: DepthRaster, part: PaperPart, corner: number, tri: number): void {
  const { points: p, triangles } = part;
  const a = triangles[corner]! * 3;
  const b = triangles[corner + 1]! * 3;
  const c = triangles[corner + 2]! * 3;
  const ax = p[a]!;
  const ay = p[a + 1]!;
  const az = p[a + 2]!;
  const bx = p[b]! - ax;
  const by = p[b + 1]! - ay;
  const cx = p[c]! - ax;
  const cy = p[c + 1]! - ay;
  const area = bx * cy - by * cx;
  if (Math.abs(area) < 1e-12) return; // seen edge on
  const bz = p[b + 2]! - az;
  const cz = p[c + 2]! - az;
  const sx = (bz * cy - cz * by) / area;
  const sy = (cz * bx - bz * cx) / area;
  raster.slopes[tri * 2] = sx;
  raster.slopes[tri * 2 + 1] = sy;
  const { width, height, pixelMm, depth, tri: seen } = raster;
  const x0 = Math.max(0, Math.ceil((ax + Math.min(0, bx, cx)) / pixelMm - 0.5));
  const x1 = Math.min(width - 1, Math.floor((ax + Math.max(0, bx, cx)) / pixelMm - 0.5));
  const y0 = Math.max(0, Math.ceil((ay + Math.min(0, by, cy)) / pixelMm - 0.5));
  const y1 = Math.min(height - 1, Math.floor((ay + Math.max(0, by, cy)) / pixelMm - 0.5));
  const inverse = 1 / area;
  const px = (x0 + 0.5) * pixelMm - ax;
  // shares of the corners b, c and a at the pixel, and by how much they change from one pixel to the next
  const du = cy * inverse * pixelMm;
  const dv = -by * inverse * pixelMm;
  const dw = -du - dv;
  const dz = sx * pixelMm;
  for (let y = y0; y <= y1; y++) {
    const py = (y + 0.5) * pixelMm - ay;
    const u0 = (px * cy - py * cx) * inverse;
    const v0 = (py * bx - px * by) * inverse;
    const w0 = 1 - u0 - v0;
    let from = 0;
    let to = x1 - x0;
    if (du > 0) from = Math.max(from, -u0 / du);
    else if (du < 0) to = Math.min(to, -u0 / du);
    else if (u0 < 0) continue;
    if (dv > 0) from = Math.max(from, -v0 / dv);
    else if (dv < 0) to = Math.min(to, -v0 / dv);
    else if (v0 < 0) continue;
    if (dw > 0) from = Math.max(from, -w0 / dw);
    else if (dw < 0) to = Math.min(to, -w0 / dw);
    const first = Math.max(0, Math.ceil(from) - 1);
    const last = Math.min(x1 - x0, Math.floor(to) + 1);
    const z0 = az + sx * px + sy * py;
    const row = y * width + x0;
    for (let i = first; i <= last; i++) {
      const z = z0 + i * dz;
      if (z >= depth[row + i]!) continue;
      const u = u0 + i * du;
      const v = v0 + i * dv;
      if (u < 0 || v < 0 || u + v > 1) continue;
      depth[row + i] = z;
      seen[row + i] = tri;
    }
  }
}
