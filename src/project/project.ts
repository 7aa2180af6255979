import type { Evidence, HeardName, TrackName } from '../analysis/evidence/evidence.js';
import type { Fingerprint } from '../dsp/fingerprint.js';
import type { Peaks } from '../dsp/peaks.js';
import type { StoredStep } from '../model/history.js';
import type { SongMap } from '../model/song-map.js';

/** A song with all that is kept of it, as it goes into a project file and comes out of it. */
export interface Project {
  /** The map shown. */
  readonly map: SongMap;
  /** Every map since the first, to undo and redo; the one at `place` is `map`. */
  readonly history?: { readonly steps: readonly ProjectStep[]; readonly place: number };
  /** What the first map rests on. Without it the song can be looked at and played; to solve again it is analysed anew. */
  readonly evidence?: Evidence;
  readonly peaks?: Peaks;
  /** By which another file of the recording is known again. */
  readonly print?: Fingerprint;
  readonly recording?: RecordingFile;
}

/** A step of the history; with evidence when the song was analysed anew there. */
export interface ProjectStep extends StoredStep {
  readonly evidence?: Evidence;
}

/** The recording's file as it was given. */
export interface RecordingFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** Ending of project files. */
export const PROJECT_ENDING = '.barwright';

/** What `format` says in every project file. */
export const PROJECT_FORMAT = 'barwright-project';

/** Version of the format that is written here. */
export const PROJECT_VERSION = 1;

/**
 * The file is a ZIP archive (APPNOTE.TXT by PKWARE), entries stored or deflated:
 *
 *     project.json          the document below, UTF-8
 *     evidence/0/beat.bin   a track of the evidence, bytes as in Track.data; one folder each time the song was analysed
 *     peaks.bin             the outline, signed bytes as in Peaks.data
 *     fingerprint.bin       the recording's fingerprint: the words of Fingerprint, four bytes each, the lowest first
 *     recording/song.mp3    the recording's own file, untouched; absent when the project was saved without it
 *
 * A file without archive, the document alone, is read as well: a map without evidence, outline and recording.
 */
export interface ProjectDocument {
  readonly format: typeof PROJECT_FORMAT;
  readonly version: number;
  /** The map shown (see SongMap). */
  readonly map: SongMap;
  /** Steps 0, 1, 2 and so on: a whole map (`snapshot`) or a JSON patch (`patch`, RFC 6902) from the map before. */
  readonly history?: { readonly place: number; readonly steps: readonly DocumentStep[] };
  /** Evidence of the first map first, then of each step that names it by its place here. */
  readonly evidence?: readonly EvidenceEntry[];
  readonly peaks?: { readonly rate: number } & FileEntry;
  readonly fingerprint?: { readonly duration: number } & FileEntry;
  readonly recording?: { readonly name: string; readonly file: string };
}

export interface DocumentStep extends StoredStep {
  /** Place in the list of evidence. */
  readonly evidence?: number;
}

/** An entry of the archive: its name, length in bytes and CRC-32. */
export interface FileEntry {
  readonly file: string;
  readonly length: number;
  readonly crc: number;
}

export type EvidenceEntry = Omit<Evidence, 'tracks'> & {
  readonly tracks: Readonly<Record<string, FileEntry & { readonly rate: number; readonly width: number }>>;
};

/** Name of the document in the archive. */
export const DOCUMENT_FILE = 'project.json';

/** The tracks an evidence has, and those that it may have. */
export const TRACK_NAMES = [
  'beat',
  'downbeat',
  'onset',
  'level',
  'chroma',
  'bass',
  'timbre',
] as const satisfies readonly TrackName[];
export const HEARD_NAMES = ['heardBeat', 'heardDownbeat', 'heardSection'] as const satisfies readonly HeardName[];
