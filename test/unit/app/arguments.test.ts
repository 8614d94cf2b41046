import { describe, expect, it } from 'vitest';
import { readArguments } from '../../../src/app/cli/arguments.ts';

describe('the command line', () => {
  it('reads several beds and a size', () => {
    const parsed = readArguments([
      'plan',
      'helm.stl',
      '--bed',
      '220x220x250',
      '--bed',
      '300X300X400',
      '--height',
      '310',
      '--layer',
      '0.28',
    ]);
    expect(parsed).toMatchObject({
      kind: 'arguments',
      arguments: {
        command: 'plan',
        input: 'helm.stl',
        heightMm: 310,
        layerMm: 0.28,
        bedsMm: [
          [220, 220, 250],
          [300, 300, 400],
        ],
      },
    });
  });

  it.each([
    [['plan'], /one file/],
    [['plan', 'a.stl', 'b.stl'], /one file/],
    [['plan', 'a.stl', '--bed', '220x220'], /WIDTHxDEPTHxHEIGHT/],
    [['plan', 'a.stl', '--bed', '220x-1x20'], /WIDTHxDEPTHxHEIGHT/],
    [['plan', 'a.stl', '--unit', 'yard'], /mm, cm, m, in/],
    [['plan', 'a.stl', '--height', 'tall'], /number/],
    [['plan', 'a.stl', '--height', '300', '--scale', '2'], /one of/],
    [['plan', 'a.stl', '--clearance', '8'], /--head/],
    [['plan', 'a.stl', '--port', '80'], /does not read/],
    [['plan', 'a.stl', '--nonsense'], /nonsense/],
    [['check', 'a.stl', '--plain'], /check does not read --plain/],
    [['plan', 'a.stl', '--plain=yes'], /plain/],
    [['conjure', 'a.stl'], /no command/],
    [['serve', 'a.stl'], /takes no file/],
    [['serve', '--port', '70000'], /65535/],
    [['demo', '--triangles', '12'], /20000/],
  ])('%j is a mistake it explains', (argv, wrong) => {
    const parsed = readArguments(argv);
    expect(parsed.kind).toBe('usage');
    expect(parsed.kind === 'usage' && parsed.wrong).toMatch(wrong);
  });

  it.each([
    [['plan', 'helm.stl'], false],
    [['plan', 'helm.stl', '--plain'], true],
    [['demo', '--plain'], true],
  ])('%j writes pieces without keys: %s', (argv, plain) => {
    expect(readArguments(argv)).toMatchObject({ kind: 'arguments', arguments: { plain } });
  });

  it.each([[[]], [['help']], [['--help']], [['plan', '-h']]])('%j asks for help', (argv) => {
    expect(readArguments(argv).kind).toBe('help');
  });
});
