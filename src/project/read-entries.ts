import { msg, str } from '@lit/localize';
import type { Evidence, Track } from '../analysis/evidence/evidence.js';
import type { Fingerprint } from '../dsp/fingerprint.js';
import type { Peaks } from '../dsp/peaks.js';
import type { Archive, Place } from './archive.js';
import { crc32 } from './crc32.js';
import { HEARD_NAMES, TRACK_NAMES, type RecordingFile } from './project.js';
import { LONGEST, readKey } from './read-music.js';
import {
  damaged,
  optional,
  readInteger,
  readList,
  readNumber,
  readObject,
  readText,
  type Fields,
} from './read-value.js';

/** Where in a project file the recording lies. */
export interface RecordingPlace extends Place {
  readonly name: string;
}

/** Reads a part; undefined where it is broken, and its name, in words for the user, is noted. */
export type Salvage = <T>(name: string, read: () => T) => T | undefined;

/** All evidence in order; a broken one keeps its place empty. */
export function readEvidences(document: Fields, entries: Archive, salvage: Salvage): readonly (Evidence | undefined)[] {
  const list = document('evidence');
  if (list === undefined) return [];
  return (
    salvage(msg('the analysis'), () =>
      readList(list, 'evidence', (value, place) =>
        salvage(msg('the analysis'), () => readEvidence(value, place, entries)),
      ),
    ) ?? []
  );
}

function readEvidence(value: unknown, place: string, entries: Archive): Evidence {
  const fields = readObject(value, place);
  const tracks = readObject(fields('tracks'), `${place}, tracks`);
  const duration = readNumber(fields('duration'), `${place}, duration`, 0, LONGEST);
  const names = [...TRACK_NAMES, ...HEARD_NAMES.filter((name) => tracks(name) !== undefined)];
  const read = names.map((name) => [name, readTrack(tracks(name), `${place}, ${name}`, entries)] as const);
  return {
    version: readText(fields('version'), `${place}, version`),
    duration,
    tuning: readNumber(fields('tuning'), `${place}, tuning`, -50, 50),
    ...optional(fields, 'key', place, readKey),
    tracks: Object.fromEntries(read) as Evidence['tracks'],
  };
}

function readTrack(value: unknown, place: string, entries: Archive): Track {
  const fields = readObject(value, place);
  const rate = readNumber(fields('rate'), `${place}, rate`, 0.01, 10_000);
  const width = readInteger(fields('width'), `${place}, width`, 1, 1000);
  const data = readEntry(fields, place, entries);
  if (data.length % width !== 0) throw damaged(place, msg(str`frames of ${width} bytes`), `${data.length} bytes`);
  return { rate, width, data };
}

export function readPeaks(value: unknown, entries: Archive): Peaks {
  const fields = readObject(value, msg('the outline'));
  const bytes = readEntry(fields, msg('the outline'), entries);
  if (bytes.length % 2 !== 0) throw damaged(msg('the outline'), msg('pairs of bytes'), `${bytes.length} bytes`);
  return {
    rate: readNumber(fields('rate'), msg('the outline, rate'), 0.01, 10_000),
    data: new Int8Array(bytes.buffer, bytes.byteOffset, bytes.length),
  };
}

export function readPrint(value: unknown, entries: Archive): Fingerprint {
  const fields = readObject(value, msg('the fingerprint'));
  const bytes = readEntry(fields, msg('the fingerprint'), entries);
  if (bytes.length % 4 !== 0)
    throw damaged(msg('the fingerprint'), msg('words of four bytes'), `${bytes.length} bytes`);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  return {
    duration: readNumber(fields('duration'), msg('the fingerprint, duration'), 0, LONGEST),
    words: Uint32Array.from({ length: bytes.length / 4 }, (_, i) => view.getUint32(4 * i, true)),
  };
}

/** The bytes that an entry names, when they are what was written. */
function readEntry(fields: Fields, place: string, entries: Archive): Uint8Array {
  const bytes = entries.take(readText(fields('file'), `${place}, file`));
  if (!(bytes instanceof Uint8Array)) throw damaged(place, msg('in the archive'));
  const length = readInteger(fields('length'), `${place}, length`, 0, Number.MAX_SAFE_INTEGER);
  const crc = readInteger(fields('crc'), `${place}, crc`, 0, 0xffffffff);
  if (bytes.length !== length || crc32(bytes) !== crc)
    throw damaged(place, msg('as it was written'), msg('something else'));
  return bytes;
}

/** The recording's file, or where it lies; whether it is the right one is told by its content, not here. */
export function readRecording(value: unknown, entries: Archive): RecordingFile | RecordingPlace {
  const fields = readObject(value, msg('the recording'));
  const name = readText(fields('name'), msg('the recording, name'));
  const found = entries.take(readText(fields('file'), msg('the recording, file')));
  if (!found) throw damaged(msg('the recording'), msg('in the archive'));
  const size = found instanceof Uint8Array ? found.length : found.to - found.from;
  if (size === 0) throw damaged(msg('the recording'), msg('in the archive'));
  return found instanceof Uint8Array ? { name, bytes: found } : { name, ...found };
}
