// The build file: everything a person may decide, in one versioned record. The page edits it, the command line reads it.
import { z } from 'zod';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { AssemblySettings } from '../assembly/assembly.ts';
import { BedsChoices } from '../beds/beds.ts';
import { ordinaryMachine } from '../facts/machines.ts';
import { PLA } from '../facts/materials.ts';
import { ModelLevel, ModelMend } from '../model/model-settings.ts';
import { JointsChoices, PiecesChoices } from '../pieces/pieces.ts';
import { PosesChoices } from '../process/asked-poses.ts';
import { Machine } from '../process/machine.ts';
import { Material } from '../process/material.ts';
import { PrintSettings } from '../process/print-settings.ts';
import { SurfaceSettings } from '../surface/surface.ts';
import { WearerSettings } from '../wearer/wearer.ts';

export const Build = z.strictObject({
  kind: z.literal('helmwright-build'),
  version: z.literal(1),
  name: z.string().min(1).max(120).describe('Title of the book'),
  model: z.strictObject({
    file: z.string().min(1).max(400).describe('Model file, beside the build file'),
    sha256: z
      .string()
      .regex(/^[0-9a-f]{64}$/)
      .describe('Hash of the bytes of that file'),
    unit: z
      .enum(['mm', 'cm', 'm', 'in'])
      .nullable()
      .describe('Unit of the file; null: what the file says, else guessed from its size'),
    level: ModelLevel,
    mend: ModelMend.default(ModelMend.parse({})),
  }),
  wearer: WearerSettings,
  pieces: PiecesChoices,
  joints: JointsChoices.default(JointsChoices.parse({})),
  machines: z.array(Machine).min(1).max(12).describe('Frozen copies of the machines that may print this build'),
  material: Material,
  print: PrintSettings,
  beds: BedsChoices.default(BedsChoices.parse({})),
  poses: PosesChoices.default(PosesChoices.parse({})),
  assembly: AssemblySettings.default(AssemblySettings.parse({})),
  surface: SurfaceSettings.default(SurfaceSettings.parse({})),
});
export type Build = z.infer<typeof Build>;

/** A build with the usual choices for a model file. */
export function newBuild(model: { name: string; file: string; sha256: string }): Build {
  return {
    kind: 'helmwright-build',
    version: 1,
    name: model.name,
    model: { file: model.file, sha256: model.sha256, unit: null, level: {}, mend: ModelMend.parse({}) },
    wearer: WearerSettings.parse({ size: { by: 'scale', scale: 1 } }),
    pieces: PiecesChoices.parse({}),
    joints: JointsChoices.parse({}),
    machines: [ordinaryMachine([220, 220, 250])],
    material: PLA,
    print: PrintSettings.parse({}),
    beds: BedsChoices.parse({}),
    poses: PosesChoices.parse({}),
    assembly: AssemblySettings.parse({}),
    surface: SurfaceSettings.parse({}),
  };
}

/** Checks a parsed JSON value. Refuses BUILD_INVALID with every path that is wrong and the range it allows. */
export function readBuild(value: unknown): Outcome<Build> {
  const parsed = Build.safeParse(value);
  if (parsed.success) return withDistinctMachines(parsed.data);
  const problems = parsed.error.issues.map((issue) => `${pathOf(issue.path)} ${problemOf(issue)}`);
  return refuse('BUILD_INVALID', `This choice cannot be taken: ${problems.join('; ')}.`, {
    where: { path: pathOf(parsed.error.issues[0]?.path ?? []) },
  });
}

/** The JSON schema of the build file, for docs/build.schema.json and for editors. */
export function buildJsonSchema(): unknown {
  return z.toJSONSchema(Build, { target: 'draft-2020-12' });
}

function withDistinctMachines(build: Build): Outcome<Build> {
  const ids = build.machines.map((machine) => machine.id);
  const twice = ids.find((id, index) => ids.indexOf(id) !== index);
  if (twice === undefined) return done(build);
  return refuse('BUILD_INVALID', `The build file does not hold: machines: two machines have the id "${twice}".`, {
    where: { path: 'machines' },
  });
}

/** In plain words, with the limit; what has none keeps the checker's own words. */
function problemOf(issue: z.core.$ZodIssue): string {
  if (issue.code === 'too_small' && issue.origin === 'number') return `must be at least ${issue.minimum}`;
  if (issue.code === 'too_big' && issue.origin === 'number') return `must be at most ${issue.maximum}`;
  if (issue.code === 'unrecognized_keys') return `does not know ${issue.keys.join(', ')}`;
  if (issue.code === 'custom') return issue.message;
  return `does not hold (${issue.message})`;
}

function pathOf(path: readonly PropertyKey[]): string {
  return path.length === 0 ? '(whole file)' : path.map(String).join('.');
}
