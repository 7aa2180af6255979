import { msg, str } from '@lit/localize';
import { readInteger, readList, readNumber, readObject, readText, damaged } from './read-value.js';
import { ProjectProblem } from './problem.js';
import { readJson } from './read-json.js';

/** Ending of files with all songs. */
export const BACKUP_ENDING = '.barwright-songs';

/** What `format` says in every backup. */
export const BACKUP_FORMAT = 'barwright-songs';

/** Version of the format that is written here. */
export const BACKUP_VERSION = 1;

/**
 * A backup is a ZIP archive of stored entries: this list first, then a project file for each song, in the order of the list.
 * Each is whole by itself, so a backup that was cut off gives the songs before the cut.
 */
export const LIST_FILE = 'songs.json';

export interface BackupList {
  readonly format: typeof BACKUP_FORMAT;
  readonly version: number;
  /** Milliseconds since 1970. */
  readonly made: number;
  readonly songs: readonly BackupSong[];
}

export interface BackupSong {
  /** Name of its project file in the archive. */
  readonly file: string;
  /** By which the library knows the song. */
  readonly id: string;
  readonly title: string;
  /** Milliseconds since 1970. */
  readonly changed: number;
}

/** True when bytes look like a backup: an archive whose first entry is our list. */
export function looksLikeBackup(head: Uint8Array): boolean {
  const text = String.fromCharCode(...head.subarray(0, 60));
  return text.startsWith('PK\u0003\u0004') && text.slice(30).startsWith(LIST_FILE);
}

/** Reads the list of a backup, each field checked. Throws ProjectProblem. */
export function readBackupList(text: string): BackupList {
  let value: unknown;
  try {
    value = readJson(text);
  } catch {
    throw new ProjectProblem('damaged', msg('This backup is damaged: its list of songs is broken. Take another copy.'));
  }
  const fields = readObject(value, msg('the list of songs'));
  if (fields('format') !== BACKUP_FORMAT) throw damaged(msg('the list of songs'), msg('one of ours'), msg('another'));
  const version = readInteger(fields('version'), msg('the version'), 1, Number.MAX_SAFE_INTEGER);
  if (version > BACKUP_VERSION) {
    throw new ProjectProblem(
      'newer',
      msg(
        str`This backup was written by a newer version of the program (format ${version}; this one reads ${BACKUP_VERSION}). Reload the page to get that version; nothing was changed.`,
      ),
    );
  }
  return {
    format: BACKUP_FORMAT,
    version,
    made: readNumber(fields('made'), msg('the date'), 0, 8.64e15),
    songs: readList(fields('songs'), 'song', (song, place) => {
      const parts = readObject(song, place);
      const id = readText(parts('id'), `${place}, id`, 80);
      if (!/^[\w-]+$/.test(id)) throw damaged(`${place}, id`, msg('letters and digits'), id);
      return {
        file: readText(parts('file'), `${place}, file`, 400),
        id,
        title: readText(parts('title'), `${place}, title`),
        changed: readNumber(parts('changed'), `${place}, date`, 0, 8.64e15),
      };
    }),
  };
}
