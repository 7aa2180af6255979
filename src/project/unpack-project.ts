import { msg, str } from '@lit/localize';
import { strFromU8 } from 'fflate';
import type { Archive, EntryLimits, FileBytes, Place } from './archive.js';
import { loadArchive, openArchive } from './open-archive.js';
import { ProjectProblem } from './problem.js';
import { DOCUMENT_FILE } from './project.js';
import { MOST_JSON } from './read-json.js';

/** Largest other entry but the recording, in bytes: several times the widest track of the longest recording. */
const LARGEST_DATA = 16 * 2 ** 20;

/** Largest recording, in bytes. */
const LARGEST_RECORDING = 2 ** 31 - 1;

const LIMITS: EntryLimits = {
  most: (name) => (name === DOCUMENT_FILE ? MOST_JSON : isRecording(name) ? LARGEST_RECORDING : LARGEST_DATA),
  left: isRecording,
};

function isRecording(name: string): boolean {
  return name.startsWith('recording/');
}

const NO_ENTRIES: Archive = { whole: true, produced: 0, take: () => undefined };

/** The text of the document, and the entries beside it. */
export interface Unpacked {
  readonly text: string;
  readonly entries: Archive;
}

function isArchive(head: Uint8Array): boolean {
  return head[0] === 0x50 && head[1] === 0x4b;
}

/** Takes a project file apart that is in memory. Throws ProjectProblem. */
export function unpackBytes(file: Uint8Array | string): Unpacked {
  if (typeof file === 'string') return { text: file, entries: NO_ENTRIES };
  if (file.length === 0) throw notAProject(msg('it is empty'));
  if (!isArchive(file)) {
    if (file.length > MOST_JSON) throw notAProject(msg('it is too large and no archive'));
    return { text: strFromU8(file), entries: NO_ENTRIES };
  }
  return withDocument(openArchive(file, LIMITS));
}

function withDocument(entries: Archive): Unpacked {
  const broken = new ProjectProblem(
    'damaged',
    msg(
      'This project file is damaged: its archive is cut off or broken before the end of the map. Load another copy of the file.',
    ),
  );
  let document: Uint8Array | Place | undefined;
  try {
    document = entries.take(DOCUMENT_FILE);
  } catch (error) {
    if (!(error instanceof RangeError)) throw broken;
  }
  if (document instanceof Uint8Array) return { text: strFromU8(document), entries };
  if (!entries.whole) throw broken;
  throw notAProject(msg(str`it is an archive without ${DOCUMENT_FILE}, or with one far too large`));
}

/** The same for one that is not; a recording that is stored as it is stays there. */
export async function unpackFile(file: FileBytes): Promise<Unpacked> {
  if (!isArchive(await file.read(0, 2))) return unpackBytes(await file.read(0, Math.min(file.size, MOST_JSON + 1)));
  return withDocument(await loadArchive(file, LIMITS));
}

/** The problem that a file is something else; `found`: what, as in "it is empty". */
export function notAProject(found: string): ProjectProblem {
  return new ProjectProblem(
    'not-a-project',
    msg(str`This file is not a Barwright project: ${found}. Choose a file that ends in .barwright, or a recording.`),
  );
}
