import { fork } from 'node:child_process';
import type { Request } from './arguments.js';
import { mapFile, type Outcome } from './map-file.js';

interface Work {
  readonly file: string;
  readonly request: Request;
}

/** Maps a file in a process of its own, so that several run at once and a crash costs one file. `script` is the bundle. */
export function mapApart(script: string, file: string, request: Request): Promise<Outcome> {
  return new Promise((resolve) => {
    const child = fork(script, [], {
      env: { ...process.env, BARWRIGHT_CHILD: '1' },
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    let outcome: Outcome = { ok: false, message: 'the work on this file ended unexpectedly; try it alone' };
    child.on('message', (message) => (outcome = message as Outcome));
    child.on('error', () => undefined);
    child.on('close', () => resolve(outcome));
    child.send({ file, request } satisfies Work);
  });
}

/** The other side of mapApart. */
export function serveParent(): void {
  process.once('message', (message) => {
    const { file, request } = message as Work;
    void mapFile(file, request, () => undefined).then((outcome) => process.send?.(outcome, () => process.disconnect()));
  });
}
