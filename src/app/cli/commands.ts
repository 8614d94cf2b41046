// The four commands. Each returns its exit code.
import { join } from 'node:path';
import { type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { Cancelled } from '../../base/work.ts';
import type { Plan } from '../../workshop/book/plan-record.ts';
import { DEMO_SHAPES, type DemoShape, demoTitle } from '../../workshop/demo/demo.ts';
import { DATA_FOLDER, ENGINE_SCRIPT, KERNEL_LIMIT_S, WEB_ASSETS } from '../installed.ts';
import { openServer } from '../server/server.ts';
import { type Engine, openEngine } from '../worker/engine-host.ts';
import type { Answer } from '../worker/protocol.ts';
import type { Arguments } from './arguments.ts';
import { findingsOf, reportLines } from './check-report.ts';
import { type Input, inputOf, readInput } from './input.ts';
import { openInBrowser } from './open-in-browser.ts';
import { clearProgress, duration, progressHooks, refusalLines } from './terminal.ts';
import { inTheWay, isFree, writeKit } from './write-kit.ts';

export const EXIT = { done: 0, bug: 1, usage: 2, refused: 3, cancelled: 130 } as const;

export async function runCommand(args: Arguments): Promise<number> {
  if (args.command === 'serve') return serve(args);
  const engine = openEngine({
    cacheFolder: args.data === null && !args.serve ? null : join(args.data ?? DATA_FOLDER, 'cache'),
    script: ENGINE_SCRIPT,
    webAssets: WEB_ASSETS,
    kernelLimitS: KERNEL_LIMIT_S,
  });
  const stop = (): void => engine.cancel();
  process.on('SIGINT', stop);
  process.on('SIGTERM', stop);
  try {
    if (args.command === 'check') return await check(args, engine);
    if (args.command === 'plan') return await plan(args, engine, readInput(args));
    return await demo(args, engine);
  } catch (error) {
    if (!(error instanceof Cancelled)) throw error;
    clearProgress();
    process.stderr.write('cancelled; nothing was written\n');
    return EXIT.cancelled;
  } finally {
    process.off('SIGINT', stop);
    process.off('SIGTERM', stop);
    await engine.close();
  }
}

async function check(args: Arguments, engine: Engine): Promise<number> {
  const input = readInput(args);
  if (!input.ok) return sayRefusal(input, args);
  const answer = await engine.run({ ...input.value, want: 'check' }, progressHooks());
  clearProgress();
  if ('ok' in answer) return sayRefusal(answer, args);
  if (args.json) process.stdout.write(`${JSON.stringify(answer.text.chapters.slice(0, 2), null, 2)}\n`);
  else process.stdout.write(`${reportLines(answer.text)}\n`);
  const remaining = answer.refusal !== null || findingsOf(answer.text).some(({ severity }) => severity !== 'note');
  return answer.refusal !== null || (args.strict && remaining) ? EXIT.refused : EXIT.done;
}

async function plan(args: Arguments, engine: Engine, input: Outcome<Input>): Promise<number> {
  if (!input.ok) return sayRefusal(input, args);
  const out = args.out ?? `${slug(input.value.build.name)}-kit`;
  if (!isFree(out)) return sayRefusal(inTheWay(out), args);
  const answer = await engine.run({ ...input.value, want: 'kit' }, progressHooks());
  clearProgress();
  if ('ok' in answer) return sayRefusal(answer, args);
  if (answer.refusal !== null) return sayRefusal(answer.refusal, args);
  const written = writeKit(out, answer.files);
  if (!written.ok) return sayRefusal(written, args);
  process.stdout.write(args.json ? `${JSON.stringify(answer.plan, null, 2)}\n` : `${summary(answer, out)}\n`);
  return EXIT.done;
}

async function demo(args: Arguments, engine: Engine): Promise<number> {
  if (!isDemoShape(args.shape)) {
    process.stderr.write(`there is no demo shape "${args.shape}"; there are ${DEMO_SHAPES.join(', ')}\n`);
    return EXIT.usage;
  }
  const model = await engine.makeDemo({ shape: args.shape, triangles: args.triangles }, progressHooks());
  const input = inputOf({ name: demoTitle(args.shape), file: `${args.shape}.stl`, model }, args);
  const code = await plan({ ...args, out: args.out ?? `${args.shape}-kit` }, engine, input);
  if (code !== EXIT.done || !args.serve || !input.ok) return code;
  return serve(args, input.value);
}

/** Runs until it is stopped. With an input, that build is on the list and its page is the address printed. */
async function serve(args: Arguments, input?: Input): Promise<number> {
  const server = await openServer({ dataFolder: args.data ?? DATA_FOLDER, port: args.port });
  if (server === 'port taken') {
    const refusal = refuse('PORT_TAKEN', `Port ${args.port} on this machine is taken by another program.`);
    return sayRefusal(refusal, args);
  }
  const page = input === undefined ? server.address : `${server.address}builds/${server.addBuild(input)}`;
  process.stdout.write(`The book is at ${page}\nStop with Ctrl+C.\n`);
  if (args.open) openInBrowser(page);
  await new Promise<void>((resolve) => {
    process.once('SIGINT', resolve);
    process.once('SIGTERM', resolve);
  });
  await server.close();
  return EXIT.done;
}

function sayRefusal(refusal: Refusal, args: Arguments): number {
  clearProgress();
  if (args.json) process.stdout.write(`${JSON.stringify(refusal, null, 2)}\n`);
  else process.stderr.write(`${refusalLines(refusal)}\n`);
  return EXIT.refused;
}

function summary(answer: Answer, out: string): string {
  const { pieces, totals, seams } = answer.plan as Plan;
  const rows = pieces.map(
    (piece) =>
      `  ${piece.id}  ${piece.name.padEnd(28)} ${duration(piece.printS).padStart(12)} ${piece.filamentG.toFixed(0).padStart(6)} g`,
  );
  return [
    `${pieces.length} piece${pieces.length === 1 ? '' : 's'}, ${seams.length} seam${seams.length === 1 ? '' : 's'}, ${duration(totals.printS)}, ${totals.filamentG.toFixed(0)} g and ${totals.supportG.toFixed(0)} g of support:`,
    ...rows,
    ...cautionLines(answer.plan as Plan),
    `Written to ${out}: book.html, kit.3mf, pieces/, plan.json, build.json.`,
  ].join('\n');
}

/** What the maker should look at before printing; the book says it at its place. */
function cautionLines({ model }: Plan): readonly string[] {
  return model.findings
    .filter(({ severity }) => severity !== 'note')
    .map(({ say, code }) => `  look: ${say} (${code})`);
}

function isDemoShape(word: string): word is DemoShape {
  return (DEMO_SHAPES as readonly string[]).includes(word);
}

function slug(name: string): string {
  const words = name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '');
  return words === '' ? 'helmwright' : words;
}
