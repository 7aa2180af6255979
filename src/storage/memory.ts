import type { StoragePort, StoredSong, StoredStep } from '../state/ports.js';
import { missingSong, songExists } from './problem.js';

interface Kept {
  song: StoredSong;
  audio: Blob | undefined;
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
      shelf.songs.set(song.summary.id, { song: structuredClone(song), audio });
    },
    open: async (id) => structuredClone(kept(id).song),
    audio: async (id) => kept(id).audio,
    setAudio: async (id, audio, peaks) => {
      const entry = kept(id);
      entry.audio = audio;
      const summary = { ...entry.song.summary, hasAudio: true };
      entry.song = { ...entry.song, summary, peaks: structuredClone(peaks) ?? entry.song.peaks };
    },
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
