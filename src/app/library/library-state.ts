import { msg, str } from '@lit/localize';
import { batch } from '@preact/signals-core';
import type { PackedSound } from '../../dsp/packed-sound.js';
import { currentMap, pushMap, restoreHistory, storedStep } from '../../model/history.js';
import { barsOf } from '../../model/map-queries.js';
import type { SongMap } from '../../model/song-map.js';
import { FIRST_WINDOW, type Core } from '../song/core.js';
import { SongDesk } from '../song/open-song.js';
import { sameDoubt } from '../doubts/doubts-state.js';
import { isEvidence, NO_PEAKS } from '../song/no-evidence.js';
import type { StoredSong } from '../kit/ports.js';
import { KeptSongProblem, readKept } from '../song/read-kept.js';
import { counted } from '../kit/sentences.js';
import type { Notice } from '../kit/session.js';

/** The songs kept and the one on the desk. */
export interface Library {
  /** Reads the list of songs again. */
  refresh(): Promise<void>;
  /** Takes a song from storage and shows it; `sound` is used when it was decoded already. True when it is open then. */
  open(id: string, sound?: PackedSound): Promise<boolean>;
  /** Puts a song on the desk in place of the one there; its sound is in the player already when `listening`. */
  place(stored: StoredSong, release: () => void, sound: PackedSound | 'in the player' | undefined): Promise<SongDesk>;
  close(): Promise<void>;
  rename(id: string, title: string): Promise<void>;
  remove(id: string): Promise<void>;
  /** Decodes the kept recording of the song, so that it can be played; the song can be worked on meanwhile. */
  readSound(desk: SongDesk): Promise<void>;
  /** Gives the sound to the player and shows that the song can be heard. */
  hear(desk: SongDesk, sound: PackedSound): Promise<void>;
}

/** What parts of the session that are made after the library do for it. */
export interface LibraryOutside {
  /** Hands the open song to the user as a project file. */
  saveFile(): Promise<void>;
  /** Maps a kept recording anew, as a song of its own. */
  mapAnew(audio: File): Promise<void>;
}

export function createLibrary(core: Core, outside: LibraryOutside): Library {
  const { ports, view } = core;
  const { storage, player } = ports;
  let reading: AbortController | undefined;

  // Opening waits for what was asked before: a song opened twice by a double click would stand in its own way.
  let last: Promise<unknown> = Promise.resolve();
  const inTurn =
    <A extends unknown[], T>(work: (...args: A) => Promise<T>) =>
    (...args: A): Promise<T> => {
      const turn = last.then(() => work(...args));
      last = turn.catch(() => undefined);
      return turn;
    };

  /** The way out for a song of which no map is left, where its recording is. */
  const mapAnew = async (id: string): Promise<Notice['action']> => {
    const audio = await storage.audio(id).catch(() => undefined);
    if (!audio) return undefined;
    const title = core.songs.peek().find((song) => song.id === id)?.title ?? id;
    const file = new File([audio], title, { type: audio.type });
    return { label: msg('Map its recording anew'), run: () => outside.mapAnew(file) };
  };

  const refresh = async (): Promise<void> => {
    core.songs.value = await storage.list();
  };

  const shown = (before: SongMap, after: SongMap): void => {
    batch(() => {
      const { selection, doubt } = view;
      const range = selection.peek();
      if (range) selection.value = sameBars(before, after, range);
      const heard = doubt.peek();
      if (heard !== undefined) doubt.value = sameDoubt(after, before.doubts[heard]);
    });
  };

  const hear = async (desk: SongDesk, sound: PackedSound): Promise<void> => {
    await player.load(sound);
    if (core.desk.peek() === desk) desk.set({ audible: true });
  };

  const readSound = async (desk: SongDesk): Promise<void> => {
    reading?.abort();
    const abort = (reading = new AbortController());
    const { fileName, contentId } = desk.map.recording;
    try {
      const file = await storage.audio(desk.id, contentId);
      if (abort.signal.aborted) return;
      if (!file) {
        desk.set({ hasAudio: false });
        core.say({ kind: 'info', ...askForRecording(desk.map) });
        return;
      }
      const { pcm, peaks, signal } = await ports.decoder.decode(file, fileName, {
        signal: abort.signal,
        soundOnly: desk.print !== undefined,
        report: (done) => {
          const read = Math.floor(10 * done) / 10;
          if (!abort.signal.aborted && read !== desk.song.peek().read) desk.set({ read });
        },
      });
      if (abort.signal.aborted) return;
      const isNew = desk.song.peek().peaks.data.length === 0;
      if (isNew) desk.set({ peaks });
      await hear(desk, pcm);
      // Songs kept before there were fingerprints get theirs now.
      if (!isNew && desk.print) return;
      desk.print ??= (await core.solver.recognise(signal, [])).print;
      if (!abort.signal.aborted) await storage.setSound(desk.id, { peaks, print: desk.print, soundOf: contentId });
    } catch (error) {
      if (!abort.signal.aborted) {
        core.sayError(error, { label: msg('Try again'), run: () => readSound(desk) });
      }
    }
  };

  const clear = async (): Promise<void> => {
    reading?.abort();
    const desk = core.desk.peek();
    batch(() => {
      core.desk.value = undefined;
      core.tapping.value = undefined;
      view.prompt.value = undefined;
      view.selection.value = undefined;
      view.doubt.value = undefined;
    });
    await desk?.close();
  };

  const place: Library['place'] = async (stored, release, sound) => {
    const desk: SongDesk = new SongDesk(
      stored,
      {
        storage,
        solver: core.solver,
        clock: ports.clock,
        say: core.say,
        stamp: core.stamp,
        saveFile: outside.saveFile,
        kept: (summary) => {
          const others = core.songs.peek().filter((song) => song.id !== summary.id);
          core.songs.value = [summary, ...others];
        },
        // An edit of a song that is being closed is finished, but the screen is the next song's.
        shown: (before, after) => {
          if (core.desk.peek() === desk) shown(before, after);
        },
        otherFile: () => {
          if (core.desk.peek() !== desk) return;
          player.stop();
          player.unload();
          desk.set({ audible: false, hasAudio: true, peaks: NO_PEAKS, read: 0 });
          void readSound(desk);
        },
      },
      release,
    );
    if (sound !== 'in the player') {
      player.stop();
      player.unload();
    }
    const closing = clear();
    const { map } = desk;
    batch(() => {
      view.cursor.value = barsOf(map)[0]?.start ?? map.start;
      view.window.value = { from: map.start, span: Math.min(FIRST_WINDOW, map.recording.duration) };
      core.desk.value = desk;
      // What was said of another song is no news of this one.
      core.notice.value = undefined;
    });
    if (sound === 'in the player') desk.set({ audible: true });
    else if (sound) await hear(desk, sound);
    await closing;
    return desk;
  };

  // Whatever outside this page closed or deleted the database, the open song is stored again.
  storage.onLost(() => void core.desk.peek()?.keep());

  return {
    refresh,
    place,
    readSound,
    hear,
    open: inTurn(async (id: string, sound?: PackedSound) => {
      if (core.desk.peek()?.id === id) return true;
      const release = await storage.claim(id);
      if (!release) {
        core.say({
          kind: 'error',
          text: msg(
            'This song is open in another window. Close it there first; two windows would overwrite each other.',
          ),
        });
        return false;
      }
      let desk: SongDesk;
      let stored: StoredSong;
      let lost: readonly string[];
      try {
        ({ song: stored, lost } = await readKept(await storage.open(id)));
        desk = await place(stored, release, sound);
      } catch (error) {
        release();
        core.sayError(error, error instanceof KeptSongProblem ? await mapAnew(id) : undefined);
        return false;
      }
      if (lost.length > 0) {
        await desk.keepWhole();
        core.say({
          kind: 'error',
          text: msg(
            str`What was kept of "${stored.summary.title}" was damaged. Missing now: ${lost.join('; ')}. All else is there.`,
          ),
        });
      }
      if (isEvidence(desk.evidence))
        core.solver.warm(desk.evidence, desk.map).catch((error: unknown) => core.sayError(error));
      if (!stored.summary.hasAudio) {
        if (lost.length === 0) core.say({ kind: 'info', ...askForRecording(desk.map) });
      } else if (!sound) {
        void readSound(desk);
      }
      await desk.finishPending(stored.pending);
      return true;
    }),
    close: () => {
      player.stop();
      player.unload();
      // What was told of the song, and offered there, is of no use beside the list.
      if (core.notice.peek()?.kind === 'info') core.notice.value = undefined;
      // Gone from the screen at once; who opens a song next waits until this one is let go of.
      const closing = clear();
      last = Promise.all([last, closing.catch(() => undefined)]);
      return closing;
    },
    rename: inTurn(async (id: string, title: string) => {
      const name = title.trim();
      if (!name) return;
      const open = core.desk.peek();
      if (open?.id === id) {
        await open.edit(msg(str`title: ${name}`), (map) => (map.title === name ? map : { ...map, title: name }));
        return;
      }
      const release = await storage.claim(id);
      if (!release) {
        core.say({ kind: 'error', text: msg('This song is open in another window; rename it there.') });
        return;
      }
      try {
        const { song: stored } = await readKept(await storage.open(id));
        const history = restoreHistory(stored.steps, stored.place);
        const renamed = pushMap(history, msg(str`title: ${name}`), { ...currentMap(history), title: name });
        await storage.append(id, storedStep(renamed), { ...stored.summary, title: name, changed: core.stamp() });
        if (stored.pending) await storage.setPending(id, stored.pending);
        await refresh();
      } catch (error) {
        core.sayError(error);
      } finally {
        release();
      }
    }),
    remove: inTurn(async (id: string) => {
      const title = core.songs.peek().find((song) => song.id === id)?.title ?? msg('The song');
      try {
        if (core.desk.peek()?.id === id) {
          player.stop();
          player.unload();
          await clear();
        }
        const release = await storage.claim(id);
        if (!release) {
          core.say({
            kind: 'error',
            text: msg(str`"${title}" is open in another window. Close it there, then delete it.`),
          });
          return;
        }
        try {
          await storage.remove(id);
        } finally {
          release();
        }
        await refresh();
        const left = counted(core.songs.peek().length, msg('song'), msg('songs'));
        core.say({ kind: 'info', text: msg(str`"${title}" was deleted; ${left} left.`) });
      } catch (error) {
        core.sayError(error);
      }
    }),
  };
}

/** What is said of a song without its recording; the session offers to choose it. */
export function askForRecording(map: SongMap): { readonly text: string } {
  return { text: msg(str`The recording is not kept with this song. Choose "${map.recording.fileName}" to hear it.`) };
}

/** The selected bars by their times, as another map numbers them; undefined when they are no more. */
function sameBars(
  before: SongMap,
  after: SongMap,
  range: { readonly first: number; readonly last: number },
): { readonly first: number; readonly last: number } | undefined {
  const from = barsOf(before)[range.first]?.start;
  const to = barsOf(before)[range.last]?.start;
  const bars = barsOf(after);
  if (from === undefined || to === undefined || bars.length === 0) return undefined;
  const near = (time: number): number =>
    bars.reduce(
      (best, bar, i) => (Math.abs(bar.start - time) < Math.abs((bars[best]?.start ?? 0) - time) ? i : best),
      0,
    );
  return { first: near(from), last: near(to) };
}
