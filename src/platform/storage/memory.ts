import type { StoragePort, StoredSong, StoredStep } from '../../app/kit/ports.js';
import { missingSong, songExists } from './problem.js';

interface Kept {
  song: StoredSong;
  audio: Blob | undefined;
  /** Content of `audio`, and files of other content beside it. */
  first: string;
  others: Map<string, Blob>;
}

/** What a memory storage holds; give the same one to another `memoryStorage` to play a reload. */
export interface MemoryShelf {
  readonly songs: Map<string, Kept>;
  readonly claims: Set<string>;
}

export function memoryShelf(): MemoryShelf {
  return { songs: new Map(), claims: new Set() };
}

/**
 * Keeps songs as long as the page lives: for tests, and for browsers that keep nothing.
 *
 * Values are copied in and out, as a database does, so that nobody shares an array with it.
 */
export function memoryStorage(shelf: MemoryShelf = memoryShelf()): StoragePort {
  const kept = (id: string): Kept => {
    const found = shelf.songs.get(id);
    if (!found) throw missingSong(id);
    return found;
  };
  return {
    list: async () => [...shelf.songs.values()].map(({ song }) => song.summary).sort((a, b) => b.changed - a.changed),
    create: async (song, audio) => {
      if (shelf.songs.has(song.summary.id)) throw songExists(song.summary.id);
      const first = song.summary.contentId;
      shelf.songs.set(song.summary.id, { song: structuredClone(song), audio, first, others: new Map() });
    },
    open: async (id) => structuredClone(kept(id).song),
    put: async (song) => {
      const { id, contentId: first } = song.summary;
      const before = shelf.songs.get(id) ?? { audio: undefined, first, others: new Map() };
      shelf.songs.set(id, { ...before, song: structuredClone(song) });
    },
    onLost: () => undefined,
    audio: async (id, contentId) => {
      const { audio, first, others } = kept(id);
      return contentId === undefined || contentId === first ? audio : others.get(contentId);
    },
    setAudio: async (id, audio, peaks, contentId) => {
      const entry = kept(id);
      if (contentId === undefined || contentId === entry.first) entry.audio = audio;
      else entry.others.set(contentId, audio);
      const summary = { ...entry.song.summary, hasAudio: true };
      entry.song = { ...entry.song, summary, peaks: structuredClone(peaks) ?? entry.song.peaks };
    },
    setSound: async (id, sound) => {
      const entry = kept(id);
      entry.song = { ...entry.song, ...structuredClone(sound) };
    },
    prints: async () =>
      [...shelf.songs.values()].flatMap(({ song: { summary, print } }) => {
        return print ? [{ id: summary.id, print: structuredClone(print) }] : [];
      }),
    setPending: async (id, pending) => {
      const entry = kept(id);
      entry.song = { ...entry.song, pending: structuredClone(pending) };
    },
    append: async (id, step, summary) => {
      const entry = kept(id);
      const steps: StoredStep[] = [
        ...entry.song.steps.filter(({ index }) => index < step.index),
        structuredClone(step),
      ];
      entry.song = { ...entry.song, steps, place: step.index, summary, pending: undefined };
    },
    setPlace: async (id, place, summary) => {
      const entry = kept(id);
      entry.song = { ...entry.song, place, summary };
    },
    remove: async (id) => {
      shelf.songs.delete(id);
    },
    keeping: async () => 'not kept',
    claim: async (id) => {
      if (shelf.claims.has(id)) return undefined;
      shelf.claims.add(id);
      return () => shelf.claims.delete(id);
    },
  };
}
