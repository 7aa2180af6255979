import { msg, str } from '@lit/localize';
import { currentMap, restoreHistory } from '../../model/history.js';
import type { FileBytes } from '../../project/archive.js';
import { PROJECT_ENDING, type Project } from '../../project/project.js';
import type { Core } from '../song/core.js';
import { fileNameFor } from '../kit/file-name.js';
import { NO_PEAKS, isEvidence, noEvidence } from '../song/no-evidence.js';
import type { Loading } from './loading.js';
import type { StoredSong } from '../kit/ports.js';
import { newId } from '../kit/new-id.js';
import { readKept } from '../song/read-kept.js';

/** Files that go out to the user and our own project files that come in. */
export interface HandOver {
  saveProject(withAudio: boolean): Promise<void>;
  openProject(file: File): Promise<void>;
}

export function createHandOver(core: Core, loading: Loading): HandOver {
  const { storage, files } = core.ports;

  return {
    saveProject: async (withAudio) => {
      const desk = core.desk.peek();
      if (!desk) return;
      await desk.idle();
      const song = await songNow(core, desk.id);
      const { contentId } = desk.map.recording;
      const { peaks } = desk.song.peek();
      // Nor is it kept from the user's disk when storage does not even give the recording back.
      const audio = withAudio ? await storage.audio(desk.id, contentId).catch(() => undefined) : undefined;
      const pieces = await packSong({ ...song, peaks, print: desk.print, soundOf: contentId }, audio);
      const name = fileNameFor(desk.map, PROJECT_ENDING);
      files.save(name, new Blob(pieces, { type: 'application/octet-stream' }));
      const saved = msg(str`Saved as "${name}".`);
      const without = msg('The recording could not be had here, so it is not inside.');
      core.say({ kind: 'info', text: withAudio && !audio ? `${saved} ${without}` : saved });
    },

    openProject: async (file) => {
      try {
        const { stored, audio, lost } = await unpackSong(file, core.stamp(), keptRecording);
        await loading.keep(stored, audio, {
          said: lost.length > 0 ? msg(str`Not all of "${file.name}" could be read: ${lost.join('; ')}`) : undefined,
        });
      } catch (error) {
        core.sayError(error);
      }
    },
  };

  /** The recording, when another song in the library was made from the same file. */
  async function keptRecording(contentId: string): Promise<Blob | undefined> {
    const known = core.songs.peek().find((song) => song.contentId === contentId && song.hasAudio);
    return known && storage.audio(known.id, contentId);
  }
}

/** A song as it is now: the open one from the desk, which also has what storage has no room for. */
export async function songNow({ desk, ports }: Core, id: string): Promise<StoredSong> {
  const open = desk.peek();
  if (open?.id === id) return open.stored();
  return (await readKept(await ports.storage.open(id))).song;
}

/** What reads project files is loaded by the first one. */
export function reader(): Promise<typeof import('../../project/read-project.js')> {
  return import('../../project/read-project.js');
}

/** True when the file is one of our projects, whatever it is called. */
export async function isProject(file: Blob): Promise<boolean> {
  return (await reader()).looksLikeProject(new Uint8Array(await file.slice(0, 200).arrayBuffer()));
}

/** The song as a project file, in pieces; with its recording when that is given. */
export async function packSong(song: StoredSong, audio: Blob | undefined): Promise<Uint8Array<ArrayBuffer>[]> {
  const { evidence, peaks, print, steps, place, soundOf } = song;
  const map = currentMap(restoreHistory(steps, place));
  const { fileName, contentId } = map.recording;
  const sameSound = soundOf === undefined || soundOf === contentId;
  const { writeProject } = await import('../../project/write-project.js');
  return writeProject({
    map,
    history: { steps, place },
    ...(isEvidence(evidence) ? { evidence } : {}),
    ...(sameSound && peaks.data.length > 0 ? { peaks } : {}),
    ...(sameSound && print ? { print } : {}),
    ...(audio ? { recording: { name: fileName, bytes: new Uint8Array(await audio.arrayBuffer()) } } : {}),
  });
}

/**
 * A song to be kept, read of a project file. The recording inside is taken when it is the one that the song was
 * mapped from; `other` is asked for one when there is none. `lost`: what is missing, in words.
 */
export async function unpackSong(
  file: Blob,
  changed: number,
  other: (contentId: string) => Promise<Blob | undefined> = async () => undefined,
): Promise<{ stored: StoredSong; audio: Blob | undefined; lost: readonly string[] }> {
  const { project, lost, recording } = await (await reader()).readProjectFile(bytesOf(file));
  const { contentId } = project.map.recording;
  // It stays where the browser has it, on disk for a large file.
  const inside = recording
    ? file.slice(recording.from, recording.to)
    : project.recording && new Blob([project.recording.bytes as Uint8Array<ArrayBuffer>]);
  const isRight = inside !== undefined && (await contentIdOf(inside)) === contentId;
  const audio = isRight ? inside : await other(contentId);
  return {
    stored: songOf(project, changed, audio !== undefined),
    audio,
    lost:
      inside && !isRight ? [...lost, msg('the recording inside is not the one that the song was mapped from')] : lost,
  };
}

function songOf(project: Project, changed: number, hasAudio: boolean): StoredSong {
  const { map, history, evidence, peaks, print } = project;
  const { duration, contentId } = map.recording;
  return {
    summary: { id: newId(), title: map.title, duration, changed, hasAudio, contentId },
    evidence: evidence ?? noEvidence(map),
    peaks: peaks ?? NO_PEAKS,
    ...(print ? { print } : {}),
    soundOf: contentId,
    steps: history?.steps ?? [{ index: 0, label: '', snapshot: map }],
    place: history?.place ?? 0,
  };
}

/** The bytes of a blob, read piece by piece. */
function bytesOf(blob: Blob): FileBytes {
  return {
    size: blob.size,
    read: async (start, end) => new Uint8Array(await blob.slice(start, Math.max(start, end)).arrayBuffer()),
  };
}

/** Bytes hashed at a time. */
const HASHED = 16 * 2 ** 20;

async function contentIdOf(file: Blob): Promise<string> {
  const { read, size } = bytesOf(file);
  // The browser's own is faster and missing where the address is not secure.
  const subtle = crypto.subtle as SubtleCrypto | undefined;
  if (subtle && size <= HASHED) return hex(new Uint8Array(await subtle.digest('SHA-256', await file.arrayBuffer())));
  const hash = (await import('@noble/hashes/sha2.js')).sha256.create();
  for (let at = 0; at < size; at += HASHED) hash.update(await read(at, at + HASHED));
  return hex(hash.digest());
}

function hex(digest: Uint8Array): string {
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
