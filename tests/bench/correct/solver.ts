import type { Evidence } from '../../../src/analysis/evidence/evidence.js';
import { SILENT_PROGRESS } from '../../../src/analysis/progress.js';
import type { SolveOptions } from '../../../src/analysis/solve-options.js';
import { firstMap, solveMap } from '../../../src/analysis/solve.js';
import { applyDrafts } from '../../../src/model/edits/add-locks.js';
import { setBarBeats, setDownbeat } from '../../../src/model/edits/bars.js';
import { addBeat, deleteBeat, moveBeat } from '../../../src/model/edits/beats.js';
import { doubleTempo, halveTempo } from '../../../src/model/edits/level.js';
import { liftLocks } from '../../../src/model/edits/lift.js';
import { barStartingAt } from '../../../src/model/map-queries.js';
import type { Recording, SongMap } from '../../../src/model/song-map.js';
import type { Correction } from './user.js';

/** `lifted`: older locks had to be lifted first, one more action of the user. `refused`: the edit has no place. */
export interface Answer {
  readonly map?: SongMap;
  readonly lifted?: boolean;
  readonly refused?: string;
}

/** A song that is corrected as the program corrects it: an edit sets locks, and the song is solved around all of them. */
export class SongSolver {
  private map: SongMap;
  constructor(
    private readonly evidence: Evidence,
    recording: Recording,
    private readonly options: SolveOptions = {},
  ) {
    this.map = firstMap(evidence, recording, 'song', SILENT_PROGRESS, options);
    this.first = this.map;
  }
  /** The map before any lock. */
  readonly first: SongMap;

  /** Back to the first map. */
  restart(): Answer {
    this.map = this.first;
    return { map: this.map };
  }

  correct(correction: Correction): Answer {
    let edited: SongMap;
    try {
      edited = edit(this.map, correction);
    } catch (error) {
      return { refused: String(error) };
    }
    let outcome = solveMap(this.evidence, edited, this.options);
    const lifted = !outcome.ok;
    while (!outcome.ok) {
      const older = outcome.conflict.slice(0, -1);
      if (older.length === 0) return { refused: 'the lock cannot hold alone' };
      edited = liftLocks(edited, older);
      outcome = solveMap(this.evidence, edited, this.options);
    }
    this.map = outcome.map;
    return { map: this.map, lifted };
  }
}

function edit(map: SongMap, { kind, time, value = 0 }: Correction): SongMap {
  switch (kind) {
    case 'half':
      return halveTempo(map);
    case 'double':
      return doubleTempo(map);
    case 'reading': {
      const doubt = map.doubts.find((one) => one.kind === 'level' && Math.abs(one.time - time) < 1e-6);
      if (!doubt) throw new RangeError(`no doubt about the whole song at ${time.toFixed(3)} s`);
      return applyDrafts(map, doubt.other);
    }
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
