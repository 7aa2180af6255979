import { msg, str } from '@lit/localize';
import { strFromU8, Unzip, UnzipInflate, unzipSync } from 'fflate';
import type { Evidence, Track } from '../analysis/evidence.js';
import type { Fingerprint } from '../dsp/fingerprint.js';
import type { Peaks } from '../dsp/peaks.js';
import { restoreHistory, storedSteps, type History } from '../model/history.js';
import { sameValue } from '../model/same-value.js';
import type { SongMap } from '../model/song-map.js';
import { crc32 } from './crc32.js';
import { migrate } from './migrations/migrate.js';
import { ProjectProblem } from './problem.js';
import {
  DOCUMENT_FILE,
  PROJECT_FORMAT,
  PROJECT_VERSION,
  HEARD_NAMES,
  TRACK_NAMES,
  type Project,
  type ProjectStep,
  type RecordingFile,
} from './project.js';
import { readMap } from './read-map.js';
import { LONGEST, readKey } from './read-music.js';
import { joined } from './stored-zip.js';
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

/** A project file as far as it could be read. */
export interface ReadProject {
  readonly project: Project;
  /** What could not be read and is missing now, in words for the user; empty when all is there. */
  readonly lost: readonly string[];
}

/** Largest document, in bytes. */
const LARGEST_DOCUMENT = 256 * 2 ** 20;

/** Largest other entry but the recording, in bytes. */
const LARGEST_DATA = 128 * 2 ** 20;

/** Largest recording, in bytes. */
const LARGEST_RECORDING = 2 ** 31 - 1;

/** How much of a broken archive is read at a time, in bytes. */
const PIECE = 2 ** 16;

/** True when bytes look like a project file: an archive that begins with our document, or the document alone. */
export function looksLikeProject(bytes: Uint8Array): boolean {
  const head = strFromU8(bytes.subarray(0, 80), true);
  if (head.startsWith('PK\u0003\u0004')) return head.slice(30).startsWith(DOCUMENT_FILE);
  return new RegExp(`^\\s*\\{\\s*"format"\\s*:\\s*"${PROJECT_FORMAT}"`).test(head);
}

/**
 * Reads a project file: an archive, or the document alone as bytes or text. Every field is checked and older versions
 * are brought up to date. The map must be sound; what else is broken (history, evidence, outline, recording) is left
 * out and named in `lost`. Throws ProjectProblem, and nothing else, when no map can be read.
 */
export function readProject(file: Uint8Array | string): ReadProject {
  try {
    return readSafely(file);
  } catch (error) {
    if (error instanceof ProjectProblem) throw error;
    // Data nested or sized beyond what the engine can hold.
    throw new ProjectProblem(
      'damaged',
      msg('This project file is damaged: it cannot be read. Load another copy of the file.'),
    );
  }
}

function readSafely(file: Uint8Array | string): ReadProject {
  const { text, entries } = unpacked(file);
  const document = readDocument(text);
  const lost: string[] = [];
  const salvage: Salvage = (name, read) => {
    try {
      return read();
    } catch {
      // Whatever is wrong with this part, the map does not depend on it.
      if (!lost.includes(name)) lost.push(name);
      return undefined;
    }
  };
  const map = readMapOrEarlier(document, lost);
  const evidences = readEvidences(document, entries, salvage);
  const evidence = evidences[0];
  const history =
    document('history') === undefined
      ? undefined
      : salvage(msg('the history of edits'), () => {
          return readHistory(document('history'), map, evidences);
        });
  const peaks =
    document('peaks') === undefined
      ? undefined
      : salvage(msg('the outline'), () => {
          return readPeaks(document('peaks'), entries);
        });
  const print =
    document('fingerprint') === undefined
      ? undefined
      : salvage(msg("the recording's fingerprint"), () => {
          return readPrint(document('fingerprint'), entries);
        });
  const recording =
    document('recording') === undefined
      ? undefined
      : salvage(msg('the recording'), () => {
          return readRecordingFile(document('recording'), entries);
        });
  const project: Project = {
    map,
    ...(history ? { history } : {}),
    ...(evidence ? { evidence } : {}),
    ...(peaks ? { peaks } : {}),
    ...(print ? { print } : {}),
    ...(recording ? { recording } : {}),
  };
  return { project, lost };
}

/** The map shown, or where that is broken the latest whole one that the history holds; throws what is wrong with the first. */
function readMapOrEarlier(document: Fields, lost: string[]): SongMap {
  try {
    return readMap(document('map'), msg('the map'));
  } catch (error) {
    for (const snapshot of snapshotsOf(document('history')).reverse()) {
      try {
        const map = readMap(snapshot, msg('an earlier map'));
        lost.push(msg('the last state of the map: this is an earlier one'));
        return map;
      } catch {
        // The one before, then.
      }
    }
    throw error;
  }
}

function snapshotsOf(history: unknown): unknown[] {
  try {
    const steps = readList(readObject(history, msg('the history'))('steps'), 'step', readObject);
    return steps.map((step) => step('snapshot')).filter((snapshot) => snapshot !== undefined);
  } catch {
    return [];
  }
}

type Entries = ReadonlyMap<string, Uint8Array>;
type Salvage = <T>(name: string, read: () => T) => T | undefined;

function largestOf(name: string): number {
  return name === DOCUMENT_FILE ? LARGEST_DOCUMENT : name.startsWith('recording/') ? LARGEST_RECORDING : LARGEST_DATA;
}

function wholeArchive(file: Uint8Array): Entries | undefined {
  try {
    return new Map(
      Object.entries(unzipSync(file, { filter: ({ name, originalSize }) => originalSize <= largestOf(name) })),
    );
  } catch {
    return undefined;
  }
}

/** What can be read of an archive that is cut off or broken, entry by entry from its front. */
function piecesOf(file: Uint8Array): Entries {
  const entries = new Map<string, Uint8Array>();
  const unzip = new Unzip((entry) => {
    const chunks: Uint8Array[] = [];
    let size = 0;
    entry.ondata = (error, chunk, final) => {
      size += chunk?.length ?? 0;
      if (error || size > largestOf(entry.name)) return entry.terminate();
      chunks.push(chunk);
      if (final) entries.set(entry.name, joined(chunks));
    };
    entry.start();
  });
  unzip.register(UnzipInflate);
  try {
    for (let at = 0; at < file.length; at += PIECE)
      unzip.push(file.subarray(at, at + PIECE), at + PIECE >= file.length);
  } catch {
    // What was whole before is what there is.
  }
  if (!entries.has(DOCUMENT_FILE)) {
    throw new ProjectProblem(
      'damaged',
      msg(
        'This project file is damaged: its archive is cut off or broken before the end of the map. Load another copy of the file.',
      ),
    );
  }
  return entries;
}

function unpacked(file: Uint8Array | string): { text: string; entries: Entries } {
  if (typeof file === 'string') return { text: file, entries: new Map() };
  if (file.length === 0) throw notAProject(msg('it is empty'));
  const isArchive = file[0] === 0x50 && file[1] === 0x4b;
  if (!isArchive) {
    if (file.length > LARGEST_DOCUMENT) throw notAProject(msg('it is too large and no archive'));
    return { text: strFromU8(file), entries: new Map() };
  }
  const entries = wholeArchive(file) ?? piecesOf(file);
  const document = entries.get(DOCUMENT_FILE);
  if (!document) throw notAProject(msg(str`it is an archive without ${DOCUMENT_FILE}`));
  return { text: strFromU8(document), entries };
}

function notAProject(found: string): ProjectProblem {
  return new ProjectProblem(
    'not-a-project',
    msg(str`This file is not a Barwright project: ${found}. Choose a file that ends in .barwright, or a recording.`),
  );
}

function readDocument(text: string): Fields {
  let value: unknown;
  try {
    value = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch {
    throw /^\s*\{\s*"format"\s*:\s*"barwright/.test(text)
      ? new ProjectProblem(
          'damaged',
          msg('This project file is damaged: its text breaks off or is broken. Load another copy.'),
        )
      : notAProject(msg('it holds something else'));
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw notAProject(msg('it holds something else'));
  if (!Object.hasOwn(value, 'format') || (value as { format: unknown }).format !== PROJECT_FORMAT) {
    throw notAProject(msg('it holds data of another kind'));
  }
  return readObject(migrate(value as Record<string, unknown>, PROJECT_VERSION), msg('the document'));
}

/** All evidence in order; a broken one keeps its place empty. */
function readEvidences(document: Fields, entries: Entries, salvage: Salvage): readonly (Evidence | undefined)[] {
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

function readEvidence(value: unknown, place: string, entries: Entries): Evidence {
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

function readTrack(value: unknown, place: string, entries: Entries): Track {
  const fields = readObject(value, place);
  const rate = readNumber(fields('rate'), `${place}, rate`, 0.01, 10_000);
  const width = readInteger(fields('width'), `${place}, width`, 1, 1000);
  const data = readEntry(fields, place, entries);
  if (data.length % width !== 0) throw damaged(place, msg(str`frames of ${width} bytes`), `${data.length} bytes`);
  return { rate, width, data };
}

function readPeaks(value: unknown, entries: Entries): Peaks {
  const fields = readObject(value, msg('the outline'));
  const bytes = readEntry(fields, msg('the outline'), entries);
  if (bytes.length % 2 !== 0) throw damaged(msg('the outline'), msg('pairs of bytes'), `${bytes.length} bytes`);
  return {
    rate: readNumber(fields('rate'), msg('the outline, rate'), 0.01, 10_000),
    data: new Int8Array(bytes.buffer, bytes.byteOffset, bytes.length),
  };
}

function readPrint(value: unknown, entries: Entries): Fingerprint {
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
function readEntry(fields: Fields, place: string, entries: Entries): Uint8Array {
  const bytes = entries.get(readText(fields('file'), `${place}, file`));
  if (!bytes) throw damaged(place, msg('in the archive'));
  const length = readInteger(fields('length'), `${place}, length`, 0, LARGEST_DATA);
  const crc = readInteger(fields('crc'), `${place}, crc`, 0, 0xffffffff);
  if (bytes.length !== length || crc32(bytes) !== crc)
    throw damaged(place, msg('as it was written'), msg('something else'));
  return bytes;
}

/** The recording's file; whether it is the right one is told by its content, not here. */
function readRecordingFile(value: unknown, entries: Entries): RecordingFile {
  const fields = readObject(value, msg('the recording'));
  const bytes = entries.get(readText(fields('file'), msg('the recording, file')));
  if (!bytes || bytes.length === 0) throw damaged(msg('the recording'), msg('in the archive'));
  return { name: readText(fields('name'), msg('the recording, name')), bytes };
}

/** The history, each of its maps checked; written anew from them, so that nothing unchecked is kept. */
function readHistory(
  value: unknown,
  map: SongMap,
  evidences: readonly (Evidence | undefined)[],
): { steps: readonly ProjectStep[]; place: number } {
  const fields = readObject(value, msg('the history'));
  const own: (Evidence | undefined)[] = [];
  const stored = readList(fields('steps'), 'step', (step, place) => {
    const parts = readObject(step, place);
    const at = parts('evidence');
    const evidence = at === undefined ? undefined : evidences[readInteger(at, place, 0, evidences.length - 1)];
    if (at !== undefined && !evidence) throw damaged(`${place}, evidence`, msg('in the file'));
    own.push(evidence);
    const whole = parts('snapshot');
    return {
      index: readInteger(parts('index'), `${place}, index`, 0, Number.MAX_SAFE_INTEGER),
      label: readText(parts('label'), `${place}, label`),
      ...(whole === undefined ? { patch: parts('patch') } : { snapshot: whole as SongMap }),
    };
  });
  const place = readInteger(fields('place'), msg('the history, place'), 0, stored.length - 1);
  const raw = restoreHistory(stored, place);
  const history: History = {
    place,
    steps: raw.steps.map((step, i) => ({ label: step.label, map: readMap(step.map, `step ${i + 1}`) })),
  };
  if (!sameValue(history.steps[place]?.map, map))
    throw damaged(msg('the history'), msg('that of this map'), msg('another one'));
  const steps = storedSteps(history).map((step, i): ProjectStep => {
    const evidence = own[i];
    return evidence ? { ...step, evidence } : step;
  });
  return { steps, place };
}
