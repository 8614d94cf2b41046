// The open set's catalogue: what C++ libraries counted in each file, and what is known to differ, with the reason.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';

const Measured = z.object({
  triangles_in_file: z.number(),
  collapsed_triangles: z.number().optional(),
  vertices_welded: z.number().optional(),
  open_edges: z.number().optional(),
  edges_over_2_faces: z.number().optional(),
  orientation_clash_edges: z.number().optional(),
  shells_by_edge: z.number().optional(),
  nonmanifold_vertices: z.number().optional(),
  duplicate_triangles: z.number().optional(),
  boundary_loops: z.number().optional(),
  genus_total: z.number().optional(),
  area: z.number().optional(),
  signed_volume: z.number().optional(),
  self_intersection: z
    .object({ intersecting_pairs: z.number(), triangles_involved: z.number(), capped: z.boolean() })
    .optional(),
});
export type Measured = z.infer<typeof Measured>;

const Catalogue = z.object({
  meshes: z.array(
    z.object({
      name: z.string(),
      files: z.array(z.object({ file: z.string(), measured: z.unknown().optional() })),
      conversions: z.array(
        z.object({ file: z.string(), measured: z.unknown().optional(), check: z.unknown().optional() }),
      ),
    }),
  ),
});

export interface CataloguedFile {
  readonly file: string;
  /** Null where the catalogue has no counts for the file. */
  readonly measured: Measured | null;
}

/** Every model file of the set, sources and conversions, in the order of the catalogue. */
export function cataloguedFiles(folder: string): readonly CataloguedFile[] {
  const { meshes } = Catalogue.parse(JSON.parse(readFileSync(join(folder, 'catalogue.json'), 'utf8')));
  return meshes
    .flatMap(({ files, conversions }) => [...files, ...conversions])
    .filter(({ file }) => !file.endsWith('.bin'))
    .map((entry) => {
      const { measured, check } = entry as { measured?: unknown; check?: unknown };
      const parsed = Measured.safeParse(measured ?? check);
      return { file: entry.file, measured: parsed.success ? parsed.data : null };
    });
}
