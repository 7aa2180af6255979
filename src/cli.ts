import { fileURLToPath } from 'node:url';
import packageFile from '../package.json';
import { HELP, parseArguments, type Request } from './cli/arguments.js';
import { mapApart, serveParent } from './cli/at-once.js';
import { inOrder } from './cli/in-order.js';
import { mapFile, type Outcome } from './cli/map-file.js';
import { outputFault } from './cli/outputs.js';
import { progressLine } from './cli/progress-line.js';

/** The command line: `words` without the program's name. Resolves to the exit status: 0, 1 a file failed, 2 wrong words. */
export async function main(words: readonly string[]): Promise<number> {
  // A reader that closes the pipe early (head) is not a fault.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') process.exit(0);
    throw error;
  });
  const parsed = parseArguments(words);
  if (parsed.kind === 'help') return say(HELP, 0);
  if (parsed.kind === 'version') return say(`barwright ${packageFile.version}\n`, 0);
  if (parsed.kind === 'wrong') {
    process.stderr.write(`barwright: ${parsed.message}\n`);
    return 2;
  }
  const fault = await outputFault(parsed.request);
  if (fault !== undefined) {
    process.stderr.write(`barwright: ${fault}.\n`);
    return 2;
  }
  return mapAll(parsed.request);
}

async function mapAll(request: Request): Promise<number> {
  let failed = false;
  let printed = false;
  const apart = request.jobs > 1 && request.files.length > 1;
  const line = progressLine(process.stderr, !request.quiet && !apart);
  const work = (file: string): Promise<Outcome> =>
    apart
      ? mapApart(fileURLToPath(import.meta.url), file, request)
      : mapFile(file, request, (step, done) => line.show(`${file}: ${step}`, done));
  await inOrder(request.files, request.jobs, work, (outcome, file) => {
    line.clear();
    if (!outcome.ok) {
      failed = true;
      process.stderr.write(`barwright: ${file}: ${outcome.message}\n`);
      return;
    }
    for (const note of outcome.notes) process.stderr.write(`barwright: ${file}: ${note}\n`);
    const { text } = outcome;
    if (text.length > 0) process.stdout.write(printed && typeof text === 'string' ? `\n${text}` : text);
    printed = true;
  });
  return failed ? 1 : 0;
}

function say(text: string, status: number): number {
  process.stdout.write(text);
  return status;
}

if (process.env.BARWRIGHT_CHILD) serveParent();
