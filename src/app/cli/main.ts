// The command `helmwright`. The one place where a bug of the command line is caught.

import { installedVersion } from '../installed.ts';
import { readArguments, USAGE } from './arguments.ts';
import { runCommand } from './commands.ts';
import { EXIT } from './exit-codes.ts';

const parsed = readArguments(process.argv.slice(2));
if (parsed.kind === 'help') {
  process.stdout.write(`${USAGE}\n`);
} else if (parsed.kind === 'version') {
  process.stdout.write(`helmwright ${installedVersion()}\n`);
} else if (parsed.kind === 'usage') {
  process.stderr.write(`${parsed.wrong}\nAll commands and options: helmwright help\n`);
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
