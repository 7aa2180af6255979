import { fork, type ChildProcess } from 'node:child_process';
import { join } from 'node:path';
import { analyse } from '../../../src/analysis/analyse.js';
import type { Evidence } from '../../../src/analysis/evidence.js';
import { SILENT_PROGRESS } from '../../../src/analysis/progress.js';
import { firstMap, solveMap } from '../../../src/analysis/solve.js';
import { decodeFile } from '../../../src/decode/node.js';
import { setBarBeats, setDownbeat } from '../../../src/model/edits/bars.js';
import { addBeat, deleteBeat, moveBeat } from '../../../src/model/edits/beats.js';
import { doubleTempo, halveTempo } from '../../../src/model/edits/level.js';
import { liftLocks } from '../../../src/model/edits/lift.js';
import { barStartingAt } from '../../../src/model/map-queries.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { loadTools } from '../../../src/worker/tools-loader.js';
import type { Correction } from './user.js';

const CHILD = 'BARWRIGHT_BENCH_SOLVER';
type Question = { readonly audio: string } | { readonly correct: Correction };
/** `lifted`: older locks had to be lifted first, one more action of the user. `refused`: the edit has no place. */
export interface Answer {
  readonly map?: SongMap;
  readonly lifted?: boolean;
  readonly refused?: string;
}

/** The solver in a process of its own: it gets the recording's path, then one correction after another, and no truth. */
export class SolverProcess {
  private readonly child: ChildProcess;
  constructor() {
    this.child = fork(join(process.cwd(), 'dist/bench/main.js'), [], { env: { ...process.env, [CHILD]: '1' } });
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
    this.child.disconnect();
  }
}

/** The other side; does nothing in the process that the user started. */
export function serveSolver(): void {
  if (!process.env[CHILD]) return;
  let evidence: Evidence;
  let map: SongMap;
  const answer = async (question: Question): Promise<Answer> => {
    if ('audio' in question) {
      const { signal, recording } = await decodeFile(question.audio);
      evidence = await analyse(signal, await loadTools(), SILENT_PROGRESS);
      map = firstMap(evidence, recording, 'song');
      return { map };
    }
    let edited = edit(map, question.correct);
    let outcome = solveMap(evidence, edited);
    const lifted = !outcome.ok;
    while (!outcome.ok) {
      const older = outcome.conflict.slice(0, -1);
      if (older.length === 0) return { refused: 'the lock cannot hold alone' };
      edited = liftLocks(edited, older);
      outcome = solveMap(evidence, edited);
    }
    map = outcome.map;
    return { map, lifted };
  };
  process.on('message', (question) => {
    answer(question as Question).then(
      (reply) => process.send?.(reply),
      (error: unknown) => process.send?.({ refused: String(error) } satisfies Answer),
    );
  });
}

function edit(map: SongMap, { kind, time, value = 0 }: Correction): SongMap {
  switch (kind) {
    case 'half':
      return halveTempo(map);
    case 'double':
      return doubleTempo(map);
    case 'downbeat':
      return setDownbeat(map, time);
    case 'bar-length':
      return setBarBeats(map, barStartingAt(map, time) ?? (-1 as never), value);
    case 'beat':
      return addBeat(map, time);
    case 'no-beat':
      return deleteBeat(map, time);
    case 'move':
      return moveBeat(map, time, value);
  }
}
