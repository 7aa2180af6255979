import { msg, str } from '@lit/localize';
import { strFromU8 } from 'fflate';
import type { SongMap } from '../model/song-map.js';
import type { FileBytes } from './archive.js';
import { migrate } from './migrations/migrate.js';
import { ProjectProblem } from './problem.js';
import { DOCUMENT_FILE, PROJECT_FORMAT, PROJECT_VERSION, type Project } from './project.js';
import {
  readEvidences,
  readPeaks,
  readPrint,
  readRecording,
  type RecordingPlace,
  type Salvage,
} from './read-entries.js';
import { readHistory } from './read-history.js';
import { JsonTooLarge, readJson } from './read-json.js';
import { readMap } from './read-map.js';
import { readList, readObject, type Fields } from './read-value.js';
import { notAProject, unpackBytes, unpackFile, type Unpacked } from './unpack-project.js';

/** A project file as far as it could be read. */
export interface ReadProject {
  readonly project: Project;
  /** What could not be read and is missing now, in words for the user; empty when all is there. */
  readonly lost: readonly string[];
  /** Where the recording lies, when it was left in the file. */
  readonly recording?: RecordingPlace;
}

/** True when bytes look like a project file: an archive that begins with our document, or the document alone. */
export function looksLikeProject(bytes: Uint8Array): boolean {
  const head = strFromU8(bytes.subarray(0, 80), true);
  if (head.startsWith('PK\u0003\u0004')) return head.slice(30).startsWith(DOCUMENT_FILE);
  return new RegExp(`^\\s*\\{\\s*"format"\\s*:\\s*"${PROJECT_FORMAT}"`).test(head);
}

/**
 * Reads a project file that is in memory: an archive, or the document alone as bytes or text. Every field is checked and
 * older versions are brought up to date. The map must be sound; what else is broken (history, evidence, outline,
 * recording) is left out and named in `lost`. Throws ProjectProblem, and nothing else, when no map can be read.
 */
export function readProject(file: Uint8Array | string): ReadProject {
  try {
    return readUnpacked(unpackBytes(file));
  } catch (error) {
    throw problemOf(error);
  }
}

/** The same for a file of any size, of which only what is needed is read. Throws what `file.read` throws, too. */
export async function readProjectFile(file: FileBytes): Promise<ReadProject> {
  const unpacked = await unpackFile(file);
  try {
    return readUnpacked(unpacked);
  } catch (error) {
    throw problemOf(error);
  }
}

function problemOf(error: unknown): ProjectProblem {
  if (error instanceof ProjectProblem) return error;
  // Data nested or sized beyond what the engine can hold.
  return new ProjectProblem(
    'damaged',
    msg('This project file is damaged: it cannot be read. Load another copy of the file.'),
  );
}

function readUnpacked({ text, entries }: Unpacked): ReadProject {
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
  const part = <T>(key: string, name: string, read: (value: unknown) => T): T | undefined => {
    const value = document(key);
    return value === undefined ? undefined : salvage(name, () => read(value));
  };
  const map = readMapOrEarlier(document, lost);
  const evidences = readEvidences(document, entries, salvage);
  const evidence = evidences[0];
  const history = part('history', msg('the history of edits'), (value) => readHistory(value, map, evidences));
  const peaks = part('peaks', msg('the outline'), (value) => readPeaks(value, entries));
  const print = part('fingerprint', msg("the recording's fingerprint"), (value) => readPrint(value, entries));
  const recording = part('recording', msg('the recording'), (value) => readRecording(value, entries));
  const project: Project = {
    map,
    ...(history ? { history } : {}),
    ...(evidence ? { evidence } : {}),
    ...(peaks ? { peaks } : {}),
    ...(print ? { print } : {}),
    ...(recording && 'bytes' in recording ? { recording } : {}),
  };
  return { project, lost, ...(recording && 'from' in recording ? { recording } : {}) };
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

function readDocument(text: string): Fields {
  let value: unknown;
  try {
    value = readJson(text);
  } catch (error) {
    if (error instanceof JsonTooLarge)
      throw new ProjectProblem(
        'damaged',
        msg(str`This project file is damaged: ${error.message}. Load another copy of the file.`),
      );
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
