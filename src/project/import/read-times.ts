import { msg, str } from '@lit/localize';
import { strFromU8 } from 'fflate';
import type { Seconds } from '../../music/units.js';
import { ImportProblem, shown, type Imported, type ListMeaning } from './imported.js';
import { readJams } from './read-jams.js';
import { readList } from './read-list.js';
import { readMidi } from './read-midi.js';

/** Larger files are not read: JAMS with annotations of every frame are large, the others hold a few thousand times. */
const MOST_BYTES = 50e6;
const MOST_BYTES_OF_TIMES = 5e6;

/** Throws ImportProblem for a file that is too large to hold times, before it is read. `size`: in bytes. */
export function checkTimesSize(size: number, most = MOST_BYTES): void {
  if (size > most)
    throw new ImportProblem(
      msg(str`The file has ${Math.round(size / 1e6)} MB, too many for times. Choose another one.`),
    );
}

/**
 * Reads beats and bars worked out elsewhere: a JAMS file, the tempo map of a MIDI file, a plain list of times, told apart
 * by what is in them. `duration`: of the recording that they are of. Throws ImportProblem with what was found and what to do.
 */
export function readTimes(bytes: Uint8Array, duration: Seconds, meaning: ListMeaning = 'guess'): Imported {
  if (bytes.length === 0)
    throw new ImportProblem(msg('The file is empty. Choose a JAMS file, a MIDI file or a list of times.'));
  checkTimesSize(bytes.length);
  const isMidi = [0x4d, 0x54, 0x68, 0x64].every((byte, i) => bytes[i] === byte);
  if (isMidi) checkTimesSize(bytes.length, MOST_BYTES_OF_TIMES);
  const found = isMidi ? readMidi(bytes) : readTimesText(textOf(bytes), meaning);
  return within(ascending(found), duration, isMidi);
}

/** The same for pasted text. */
export function readPastedTimes(text: string, duration: Seconds, meaning: ListMeaning = 'guess'): Imported {
  return within(ascending(readTimesText(text, meaning)), duration);
}

function readTimesText(text: string, meaning: ListMeaning): Imported {
  const plain = text.replace(/^\uFEFF/, '');
  if (/^\s*\{/.test(plain)) return readJams(plain);
  checkTimesSize(plain.length, MOST_BYTES_OF_TIMES);
  return readList(plain, meaning);
}

function textOf(bytes: Uint8Array): string {
  if (bytes.subarray(0, 1000).includes(0))
    throw new ImportProblem(msg('This is no text, JAMS or MIDI file. Choose one of these, or paste the times.'));
  return strFromU8(bytes);
}

/**
 * Throws where times lie outside the recording: then they are probably of another one. Those that may go on behind it, as
 * the bars of a MIDI file do, are left out as long as they are the fewer.
 */
function within(found: Imported, duration: Seconds, mayGoOn = false): Imported {
  const times = [...found.runs.flatMap(({ beats }) => beats), ...found.barLines];
  // The end of the last bar may be rounded up.
  const outside = times.filter((time) => time > duration + 0.05);
  if (outside.length === 0) return found;
  const last = Math.max(...outside);
  if (!mayGoOn || outside.length > times.length / 2)
    throw new ImportProblem(
      msg(
        str`Found a time of ${shown(last)} s, and the recording ends at ${shown(duration)} s. Are these the times of another recording? Then open that one.`,
      ),
    );
  const runs = found.runs.map(({ beats, downbeats }) => ({
    beats: beats.filter((time) => time < duration),
    downbeats: downbeats.filter((time) => time < duration),
  }));
  return { ...found, runs: runs.filter(({ beats }) => beats.length >= 2) };
}

/** Throws where times stand still, go back or lie before the recording, as with a tempo map of no tempo. */
function ascending(found: Imported): Imported {
  for (const times of [...found.runs.map(({ beats }) => beats), found.barLines]) {
    const at = times.findIndex((time, i) => !(time >= 0 && time > (times[i - 1] ?? -1)));
    if (at >= 0)
      throw new ImportProblem(
        msg(
          str`The times of this ${found.from} do not go on: number ${at + 1} is ${shown(times[at]!)} s. Export the file again.`,
        ),
      );
  }
  return found;
}
