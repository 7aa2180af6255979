import { fork, type ChildProcess } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { analyse } from '../../../src/analysis/analyse.js';
import type { Evidence } from '../../../src/analysis/evidence/evidence.js';
import { SILENT_PROGRESS } from '../../../src/analysis/progress.js';
import { decodeFile } from '../../../src/platform/decode/node.js';
import type { Recording } from '../../../src/model/song-map.js';
import { kept } from '../../support/kept.js';
import { loadTools } from '../../../src/platform/worker/tools-loader.js';
import { evidenceWithout, optionsWithout, type Part } from '../without.js';
import { SongSolver, type Answer } from './solver.js';
import type { Correction } from './user.js';

const CHILD = 'BARWRIGHT_BENCH_SOLVER';
type Question =
  | { readonly audio: string; readonly without?: readonly Part[] }
  | { readonly correct: Correction }
  | { readonly restart: true };

/**
 * The solver in a process of its own: it gets the recording's path, then one correction after another. Of the truth it is told
 * nothing, not even in its environment.
 */
export class SolverProcess {
  private readonly child: ChildProcess;
  constructor() {
    const { PATH, TMPDIR } = process.env;
    const env = { PATH, ...(TMPDIR && { TMPDIR }), [CHILD]: '1' };
    this.child = fork(join(process.cwd(), 'dist/bench/main.js'), [], { env });
  }

  ask(question: Question): Promise<Answer> {
    return new Promise((resolve, reject) => {
      const ended = (): void => reject(new Error('the solver process ended unexpectedly'));
      this.child.once('exit', ended);
      this.child.once('message', (answer) => {
        this.child.off('exit', ended);
        resolve(answer as Answer);
      });
      this.child.send(question);
    });
  }

  close(): void {
    if (this.child.connected) this.child.disconnect();
  }
}

/**
 * What the analysis hears in a recording. Kept until this very program, the network or the recording change, so that leaving
 * out one part after another, and correcting after that, analyses each song once.
 */
function heard(audio: string): Promise<{ evidence: Evidence; recording: Recording }> {
  const nets = ['front', 'song'].map((part) => `src/analysis/evidence/network/rhythm-${part}.onnx`);
  const key = ['dist/bench/main.js', ...nets, 'package-lock.json', audio];
  return kept(
    `bench-${basename(audio)}`,
    key.map((file) => readFileSync(file)),
    async () => {
      const { signal, recording } = await decodeFile(audio);
      return { evidence: await analyse(signal, await loadTools(), SILENT_PROGRESS), recording };
    },
  );
}

/** The other side; does nothing in the process that the user started. */
export function serveSolver(): void {
  if (!process.env[CHILD]) return;
  let solver: SongSolver;
  const answer = async (question: Question): Promise<Answer> => {
    if ('restart' in question) return solver.restart();
    if ('correct' in question) return solver.correct(question.correct);
    const { evidence, recording } = await heard(question.audio);
    solver = new SongSolver(
      evidenceWithout(evidence, question.without ?? []),
      recording,
      optionsWithout(question.without ?? []),
    );
    return { map: solver.first };
  };
  process.on('message', (question) => {
    answer(question as Question).then(
      (reply) => process.send?.(reply),
      (error: unknown) => process.send?.({ refused: String(error) } satisfies Answer),
    );
  });
}
