// From the command line's input file and flags to a checked build and the model's bytes.
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import { done, type Outcome, refuse } from '../../base/findings.ts';
import { type Build, newBuild, readBuild } from '../../workshop/book/build-file.ts';
import { ordinaryMachine } from '../../workshop/facts/machines.ts';
import { LARGEST_MODEL_BYTES } from '../api/limits.ts';
import { embedBuffers } from '../embed-buffers.ts';
import { titleOf } from '../title-of.ts';
import type { Arguments } from './arguments.ts';

export interface Input {
  readonly build: Build;
  readonly model: Uint8Array;
}

export function readInput(args: Arguments): Outcome<Input> {
  if (extname(args.input).toLowerCase() === '.json') return readBuildInput(args);
  const model = readModelFile(args.input);
  if (!model.ok) return model;
  return inputOf({ name: titleOf(basename(args.input)), file: basename(args.input), model: model.value }, args);
}

/** A .gltf that keeps its numbers in files beside it becomes one file that holds them: the build and its kit carry one model. */
function readModelFile(path: string): Outcome<Uint8Array> {
  const bytes = readBytes(path);
  if (!bytes.ok || extname(path).toLowerCase() !== '.gltf') return bytes;
  return embedBuffers(bytes.value, (name) => {
    const beside = readBytes(join(dirname(path), name));
    return beside.ok ? beside.value : null;
  });
}

/** A fresh build for model bytes, with the flags applied. */
export function inputOf(source: { name: string; file: string; model: Uint8Array }, args: Arguments): Outcome<Input> {
  const sha256 = createHash('sha256').update(source.model).digest('hex');
  const build = withFlags(newBuild({ name: source.name, file: source.file, sha256 }), args);
  return build.ok ? done({ build: build.value, model: source.model }) : build;
}

function readBuildInput(args: Arguments): Outcome<Input> {
  const bytes = readBytes(args.input);
  if (!bytes.ok) return bytes;
  let value: unknown;
  try {
    value = JSON.parse(new TextDecoder().decode(bytes.value));
  } catch (error) {
    return refuse('BUILD_INVALID', `${args.input} is not JSON: ${(error as Error).message}.`, {
      where: { path: args.input },
    });
  }
  const read = readBuild(value);
  if (!read.ok) return read;
  const file = join(dirname(args.input), basename(read.value.model.file));
  const model = readBytes(file);
  if (!model.ok)
    return refuse('MODEL_MISSING', `The build names the model file ${read.value.model.file}: ${model.why}`, {
      where: { path: 'model.file' },
    });
  const sha256 = createHash('sha256').update(model.value).digest('hex');
  if (sha256 !== read.value.model.sha256) {
    return refuse(
      'MODEL_MISSING',
      `The bytes of ${file} have the hash ${sha256.slice(0, 12)}…, the build was made for ${read.value.model.sha256.slice(0, 12)}….`,
      { where: { path: 'model.sha256' } },
    );
  }
  const build = withFlags(read.value, args);
  return build.ok ? done({ build: build.value, model: model.value }) : build;
}

/** Flags override the build; what is written back is the overridden one. */
function withFlags(build: Build, args: Arguments): Outcome<Build> {
  const size =
    args.heightMm !== null
      ? { by: 'height', heightMm: args.heightMm }
      : args.scale !== null
        ? { by: 'scale', scale: args.scale }
        : args.headMm !== null
          ? { by: 'head', circumferenceMm: args.headMm, clearanceMm: args.clearanceMm ?? 8 }
          : build.wearer.size;
  const machines = args.bedsMm.length === 0 ? build.machines : args.bedsMm.map(ordinaryMachine);
  return readBuild({
    ...build,
    name: args.name ?? build.name,
    model: {
      ...build.model,
      unit: args.unit ?? build.model.unit,
      level: levelOf(build, args),
      mend: mendOf(build, args),
    },
    wearer: { ...build.wearer, size, wallMm: args.wallMm ?? build.wearer.wallMm },
    machines,
    pieces: {
      ...build.pieces,
      mostPieces: args.mostPieces ?? build.pieces.mostPieces,
      leastSectionMm: args.leastSectionMm ?? build.pieces.leastSectionMm,
      proposal: args.proposal ?? build.pieces.proposal,
      mostBowMm: args.mostBowMm ?? build.pieces.mostBowMm,
    },
    joints: args.plain ? { ...build.joints, keys: false } : build.joints,
    print:
      args.layerMm === null
        ? build.print
        : { ...build.print, layerMm: args.layerMm, firstLayerMm: Math.max(build.print.firstLayerMm, args.layerMm) },
  });
}

function mendOf({ model: { mend } }: Build, args: Arguments): Build['model']['mend'] {
  return {
    openings: args.openings ?? mend.openings,
    sheetWallMm: args.wallMm ?? mend.sheetWallMm,
    rebuild: args.rebuild || mend.rebuild,
    rebuildCells: args.rebuildCells ?? mend.rebuildCells,
  };
}

function levelOf({ model: { level } }: Build, { up, front }: Arguments): unknown {
  return { ...level, ...(up === null ? {} : { up }), ...(front === null ? {} : { front }) };
}

function readBytes(path: string): Outcome<Uint8Array> {
  try {
    const bytes = readFileSync(path);
    if (bytes.length === 0) return refuse('FILE_UNREADABLE', `${path} is empty (0 bytes).`, { where: { path } });
    if (bytes.length > LARGEST_MODEL_BYTES) {
      return refuse(
        'FILE_TOO_LARGE',
        `${path} has ${(bytes.length / 1e6).toFixed(0)} MB; the limit is ${LARGEST_MODEL_BYTES / 1e6} MB.`,
        { where: { path } },
      );
    }
    return done(new Uint8Array(bytes.buffer, bytes.byteOffset, bytes.length));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const reason =
      code === 'ENOENT' ? 'there is no such file' : code === 'EISDIR' ? 'it is a folder' : (error as Error).message;
    return refuse('FILE_UNREADABLE', `${path} cannot be read: ${reason}.`, { where: { path } });
  }
}
