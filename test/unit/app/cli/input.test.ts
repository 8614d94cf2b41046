// Flags of the command line end up in the build that is computed and written back.
import { describe, expect, it } from 'vitest';
import { type Arguments, readArguments } from '../../../../src/app/cli/arguments.ts';
import { inputOf } from '../../../../src/app/cli/input.ts';

const source = { name: 'Helm', file: 'helm.stl', model: new Uint8Array([1, 2, 3]) };

function argumentsOf(...flags: string[]): Arguments {
  const parsed = readArguments(['plan', 'helm.stl', ...flags]);
  if (parsed.kind !== 'arguments') throw new Error('these flags are read');
  return parsed.arguments;
}

describe('the build of a command', () => {
  it('has keys unless it is plain', () => {
    const keyed = inputOf(source, argumentsOf());
    const plain = inputOf(source, argumentsOf('--plain'));
    if (!keyed.ok || !plain.ok) throw new Error('both are sound');
    expect(keyed.value.build.joints.keys).toBe(true);
    expect(plain.value.build.joints).toEqual({ ...keyed.value.build.joints, keys: false });
    expect({ ...plain.value.build, joints: null }).toEqual({ ...keyed.value.build, joints: null });
  });
});
