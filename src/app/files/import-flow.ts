import { msg, str } from '@lit/localize';
import { importMarks, importTimes, replacedLocks, replacedMarks } from '../../model/edits/import-times.js';
import { describeLock } from '../../model/describe-lock.js';
import type { SongMap } from '../../model/song-map.js';
import type { Imported, ListMeaning } from '../../project/import/imported.js';
import type { Core } from '../song/core.js';
import { counted } from '../kit/sentences.js';

/** What a file chooser offers for times worked out elsewhere. */
export const TIMES_FILES = '.jams,.json,.mid,.midi,.txt,.csv,.beats,audio/midi';

/** True for files that hold times and nothing else, by their names. */
export function looksLikeTimes(name: string): boolean {
  return /\.(jams|midi?|csv|beats)$/i.test(name);
}

/**
 * Takes beats, bars, chords and sections worked out elsewhere over into the open song, as edits that can be undone. What the
 * user decided before and what would be replaced is asked about first; nothing is changed until they agree.
 */
export async function importInto(core: Core, source: File | string, meaning: ListMeaning): Promise<void> {
  const map = core.map.peek();
  if (!map) {
    core.say({ kind: 'info', text: msg('Open the recording first; then times for it can be taken over.') });
    return;
  }
  try {
    const { duration } = map.recording;
    const { checkTimesSize, readPastedTimes, readTimes } = await import('../../project/import/read-times.js');
    if (typeof source !== 'string') checkTimesSize(source.size);
    const times =
      typeof source === 'string'
        ? readPastedTimes(source, duration, meaning)
        : readTimes(new Uint8Array(await source.arrayBuffer()), duration, meaning);
    const inTheWay = replaced(map, times);
    if (inTheWay.length === 0) await takeOver(core, times);
    else
      core.say({
        kind: 'info',
        text: msg(
          str`This ${times.from} would replace what you decided: ${inTheWay.join('; ')}. Nothing is changed yet.`,
        ),
        action: { label: msg('Replace and take over'), run: () => takeOver(core, times) },
      });
  } catch (error) {
    core.sayError(error);
  }
}

function replaced(map: SongMap, times: Imported): string[] {
  const locks = replacedLocks(map, times);
  const marks = replacedMarks(map, times);
  const more = locks.length > 5 ? [counted(locks.length - 5, msg('more lock'), msg('more locks'))] : [];
  return [
    ...locks.slice(0, 5).map((lock) => describeLock(lock, map)),
    ...more,
    ...(marks.chords > 0 ? [counted(marks.chords, msg('typed chord'), msg('typed chords'))] : []),
    ...(marks.sections > 0 ? [counted(marks.sections, msg('named section'), msg('named sections'))] : []),
  ];
}

async function takeOver(core: Core, times: Imported): Promise<void> {
  const desk = core.desk.peek();
  if (!desk) return;
  const beats = times.runs.reduce((sum, run) => sum + run.beats.length, 0);
  const lines = times.barLines.length;
  if (beats + lines > 0) {
    const what =
      beats > 0 ? counted(beats, msg('beat'), msg('beats')) : counted(lines, msg('bar line'), msg('bar lines'));
    if (!(await desk.edit(msg(str`${what} from a ${times.from}`), (now) => importTimes(now, times)))) return;
  }
  const { left } = times;
  if (left !== undefined) core.say({ kind: 'info', text: left });
  // Chords and sections stand on the bars that are solved by now.
  const { chords, sections } = times;
  if (chords.length + sections.length === 0) return;
  const chordCount = counted(chords.length, msg('chord'), msg('chords'));
  const sectionCount = counted(sections.length, msg('section'), msg('sections'));
  const both = chords.length > 0 && sections.length > 0;
  const what = both ? msg(str`${chordCount} and ${sectionCount}`) : chords.length > 0 ? chordCount : sectionCount;
  await desk.edit(msg(str`${what} from a ${times.from}`), (now) => importMarks(now, times));
}
