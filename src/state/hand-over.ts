import type { SongMap } from '../model/song-map.js';
import { PROJECT_ENDING, type Project } from '../project/project.js';
import { looksLikeProject, readProject } from '../project/read-project.js';
import { writeProject } from '../project/write-project.js';
import type { Core } from './core.js';
import { NO_PEAKS, isEvidence, noEvidence } from './no-evidence.js';
import type { Loading } from './loading.js';
import type { StoredSong } from './ports.js';

/** Files that go out to the user and our own project files that come in. */
export interface HandOver {
  saveProject(withAudio: boolean): Promise<void>;
  openProject(file: File): Promise<void>;
}

export function createHandOver(core: Core, loading: Loading): HandOver {
  const { storage, files, clock } = core.ports;

  return {
    saveProject: async (withAudio) => {
      const desk = core.desk.peek();
      if (!desk) return;
      await desk.idle();
      // What storage had no room for can be saved from the desk.
      const isStored = desk.song.peek().saved === 'saved';
      const song = isStored ? await storage.open(desk.id) : desk.stored();
      const { fileName, contentId } = desk.map.recording;
      const { peaks } = desk.song.peek();
      const audio = withAudio ? await storage.audio(desk.id, contentId) : undefined;
      const pieces = writeProject({
        map: desk.map,
        history: { steps: song.steps, place: song.place },
        ...(isEvidence(song.evidence) ? { evidence: song.evidence } : {}),
        ...(peaks.data.length > 0 ? { peaks } : {}),
        ...(desk.print ? { print: desk.print } : {}),
        ...(audio ? { recording: { name: fileName, bytes: new Uint8Array(await audio.arrayBuffer()) } } : {}),
      });
      const name = fileNameFor(desk.map, PROJECT_ENDING);
      files.save(name, new Blob(pieces, { type: 'application/octet-stream' }));
      const without = withAudio && !audio ? ' The recording is not kept here, so it is not inside.' : '';
      core.say({ kind: 'info', text: `Saved as "${name}".${without}` });
    },

    openProject: async (file) => {
      try {
        const { project, lost } = readProject(new Uint8Array(await file.arrayBuffer()));
        const problems = [...lost];
        const { recording } = project.map;
        let audio = project.recording && new Blob([project.recording.bytes as Uint8Array<ArrayBuffer>]);
        if (audio && (await contentIdOf(audio)) !== recording.contentId) {
          audio = undefined;
          problems.push('the recording inside is not the one that the song was mapped from');
        }
        audio ??= await keptRecording(recording.contentId);
        await loading.keep(songOf(project, clock.date(), audio !== undefined), audio, {
          said: problems.length > 0 ? `Not all of "${file.name}" could be read: ${problems.join('; ')}` : undefined,
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

/** True when the file is one of our projects, whatever it is called. */
export async function isProject(file: Blob): Promise<boolean> {
  return looksLikeProject(new Uint8Array(await file.slice(0, 200).arrayBuffer()));
}

function songOf(project: Project, changed: number, hasAudio: boolean): StoredSong {
  const { map, history, evidence, peaks, print } = project;
  const { duration, contentId } = map.recording;
  return {
    summary: { id: crypto.randomUUID(), title: map.title, duration, changed, hasAudio, contentId },
    evidence: evidence ?? noEvidence(map),
    peaks: peaks ?? NO_PEAKS,
    ...(print ? { print } : {}),
    soundOf: contentId,
    steps: history?.steps ?? [{ index: 0, label: '', snapshot: map }],
    place: history?.place ?? 0,
  };
}

async function contentIdOf(file: Blob): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', await file.arrayBuffer()));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** A name for the disk: the title without what file systems refuse. */
export function fileNameFor(map: SongMap, ending: string): string {
  const stem = map.title
    // What one file system or another refuses.
    .replace(/[\u0000-\u001f\u007f<>:"/\\|?*]+/g, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^[\s.]+|[\s.]+$/g, '')
    .slice(0, 100);
  return `${stem || 'song'}${ending}`;
}
