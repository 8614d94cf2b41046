// The command `helmwright`. The one place where a bug of the command line is caught.
import { readArguments, USAGE } from './arguments.ts';
import { EXIT, runCommand } from './commands.ts';

const parsed = readArguments(process.argv.slice(2));
if (parsed.kind === 'help') {
  process.stdout.write(`${USAGE}\n`);
} else if (parsed.kind === 'usage') {
  process.stderr.write(`${parsed.wrong}\n\n${USAGE}\n`);
  process.exitCode = EXIT.usage;
} else {
  try {
    process.exitCode = await runCommand(parsed.arguments);
  } catch (error) {
    process.stderr.write(
      `This is a bug of the program, not of your file; nothing was written.\n${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`,
    );
    process.exitCode = EXIT.bug;
  }
}
