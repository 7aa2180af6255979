import type { Evidence } from '../analysis/evidence/evidence.js';
import { solveMap } from '../analysis/solve.js';
import { describeLock } from '../model/describe-lock.js';
import { importMarks, importTimes, replacedLocks, replacedMarks } from '../model/edits/import-times.js';
import { EditProblem } from '../model/edits/problem.js';
import type { SongMap } from '../model/song-map.js';
import { ImportProblem, type ListMeaning } from '../project/import/imported.js';
import { readTimes } from '../project/import/read-times.js';

export interface TimesWish {
  readonly meaning: ListMeaning;
  /** What the project's user decided may be replaced. */
  readonly replace: boolean;
}

/**
 * The map solved around beats and bars worked out elsewhere, with chords and sections where the file has them. Throws
 * ImportProblem for a bad file, and where it would replace what a user decided and that was not allowed.
 */
export function applyTimes(
  map: SongMap,
  evidence: Evidence,
  bytes: Uint8Array,
  wish: TimesWish,
): { readonly map: SongMap; readonly left?: string } {
  const times = readTimes(bytes, map.recording.duration, wish.meaning);
  const lost = replacedLocks(map, times).map((lock) => describeLock(lock, map));
  const marks = replacedMarks(map, times);
  const inTheWay = [
    ...lost,
    ...(marks.chords > 0 ? [`${marks.chords} typed chords`] : []),
    ...(marks.sections > 0 ? [`${marks.sections} named sections`] : []),
  ];
  if (inTheWay.length > 0 && !wish.replace)
    throw new ImportProblem(
      `the ${times.from} would replace what was decided here: ${inTheWay.slice(0, 8).join('; ')}${inTheWay.length > 8 ? ' and more' : ''}. Add --replace if it may.`,
    );
  const locked = hasRhythm(times) ? around(map, evidence, times) : map;
  const { left } = times;
  return { map: importMarks(locked, times), ...(left === undefined ? {} : { left }) };
}

function hasRhythm({ runs, barLines }: ReturnType<typeof readTimes>): boolean {
  return runs.length > 0 || barLines.length > 0;
}

function around(map: SongMap, evidence: Evidence, times: ReturnType<typeof readTimes>): SongMap {
  try {
    const locked = importTimes(map, times);
    const outcome = solveMap(evidence, locked);
    if (outcome.ok) return outcome.map;
    const words = locked.locks.filter(({ id }) => outcome.conflict.includes(id)).map((lock) => describeLock(lock, map));
    throw new ImportProblem(`the ${times.from} and the locks of this song cannot all hold: ${words.join('; ')}.`);
  } catch (error) {
    if (error instanceof EditProblem) throw new ImportProblem(error.message);
    throw error;
  }
}
