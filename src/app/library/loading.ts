import { msg, str } from '@lit/localize';
import type { Alignment } from '../../analysis/fingerprint/same-recording.js';
import type { PackedSound } from '../../dsp/packed-sound.js';
import { askToKeep, type Core } from '../song/core.js';
import type { SongDesk } from '../song/open-song.js';
import { worstFirst } from '../doubts/doubts-state.js';
import { askForRecording, type Library } from './library-state.js';
import type { Decoded, StoredSong } from '../kit/ports.js';
import { newId } from '../kit/new-id.js';
import { SAMPLES } from './samples.js';
import { clock, moveToFile, offerSame, recognise } from './same-recording.js';
import { songSentence, titleFromFileName } from '../kit/sentences.js';
import { analyse, decode, type Tasks } from '../song/tasks.js';

export interface KeepOptions {
  /** The sound, when it was decoded already; otherwise it is read after. */
  readonly sound?: PackedSound | 'in the player';
  /** Said after what the song is. */
  readonly said?: string;
}

export interface Loading {
  /** A recording that is in the library already is opened as it was left, but for `asNew`. */
  openRecording(file: File, asNew?: boolean): Promise<void>;
  /** Stores a new song and shows it; without its recording when there is no room for that. */
  keep(stored: StoredSong, audio: Blob | undefined, options?: KeepOptions): Promise<void>;
  /** Gives the open song the recording it came without. */
  attach(file: File): Promise<void>;
}

/**
 * Makes a song of a recording: decodes, analyses, keeps and shows it. A recording that is in the library already is
 * opened as it was left. Whatever fails, the song that was open stays as it was.
 */
export function createLoading(
  core: Core,
  library: Library,
  tasks: Tasks,
  next: { analyseAnew(): Promise<void>; chooseRecording(): Promise<void>; hearDoubt(index: number): Promise<void> },
): Loading {
  const { ports } = core;

  const openRecording = async (file: File, asNew = false): Promise<void> => {
    await tasks.run(msg(str`Reading "${file.name}"`), async (task) => {
      const decoded = await decode(core, file, file.name, task);
      const known = core.songs.peek().find((song) => song.contentId === decoded.recording.contentId);
      if (known && !asNew) return openKnown(known.id, known.title, file, decoded);
      const title = SAMPLES.find((sample) => sample.file === file.name)?.title ?? titleFromFileName(file.name);
      // With no song open the user can listen while the analysis runs; otherwise the open song keeps its sound.
      const listening = core.desk.peek() === undefined;
      const { pcm } = decoded;
      if (listening) await ports.player.load(pcm);
      try {
        const { print, found } = await recognise(core, decoded);
        task.signal.throwIfAborted();
        if (found && !asNew) {
          if (listening && core.desk.peek() === undefined) ports.player.unload();
          return offer(file, found);
        }
        const { evidence, map } = await analyse(core, decoded, title, task);
        const stored: StoredSong = {
          summary: {
            id: newId(),
            title: map.title,
            duration: map.recording.duration,
            changed: core.stamp(),
            hasAudio: true,
            contentId: map.recording.contentId,
          },
          evidence,
          peaks: decoded.peaks,
          print,
          steps: [{ index: 0, label: '', snapshot: map }],
          place: 0,
        };
        await keep(stored, file, {
          sound: listening ? 'in the player' : pcm,
          said: decoded.warning?.replace(/\.$/, ''),
        });
      } catch (error) {
        if (listening && core.desk.peek() === undefined) ports.player.unload();
        throw error;
      }
    });
  };

  /** Takes a file of the open song's recording, whatever its encoding; another one is refused. */
  const moveTo = async (desk: SongDesk, file: File): Promise<void> => {
    await moveToFile(core, tasks, library, desk, file, ({ recording }) => refuse(desk, file, recording.duration));
  };

  const offer = (file: File, found: { id: string } & Alignment): void => {
    const title = core.songs.peek().find((song) => song.id === found.id)?.title ?? msg('a kept song');
    offerSame(core, file, title, found, {
      take: async () => {
        if (!(await library.open(found.id))) return;
        const desk = core.desk.peek();
        if (desk) await moveTo(desk, file);
      },
      openAsNew: () => openRecording(file, true),
    });
  };

  const refuse = (desk: SongDesk, file: File, duration: number): void => {
    const { recording, title } = desk.map;
    core.say({
      kind: 'error',
      text: msg(
        str`"${file.name}" (${clock(duration)}) is not the recording of "${title}", which was made from "${recording.fileName}" (${clock(recording.duration)}). Choose that file, or open this one as a song of its own.`,
      ),
      action: { label: msg('Open it as a new song'), run: () => openRecording(file, true) },
    });
  };

  const openKnown = async (id: string, title: string, file: File, decoded: Decoded): Promise<void> => {
    const wasOpen = core.desk.peek()?.id === id;
    if (!(await library.open(id, decoded.pcm))) return;
    const desk = core.desk.peek();
    if (!desk) return;
    if (!desk.song.peek().hasAudio) {
      await ports.storage.setAudio(id, file, undefined, desk.map.recording.contentId);
      desk.set({ hasAudio: true });
    }
    if (wasOpen && !desk.song.peek().audible) await library.hear(desk, decoded.pcm);
    core.say({
      kind: 'info',
      text: wasOpen
        ? msg(str`This recording is the open song, "${title}".`)
        : msg(str`You have this recording already: here is "${title}" as you left it.`),
      action: { label: msg('Analyse anew'), run: () => next.analyseAnew() },
    });
  };

  const keep: Loading['keep'] = async (stored, audio, { sound, said } = {}) => {
    let kept = stored;
    const also = said === undefined ? [] : [said];
    try {
      await ports.storage.create(stored, audio);
    } catch (error) {
      if (!audio || !isFull(error)) throw error;
      kept = { ...stored, summary: { ...stored.summary, hasAudio: false } };
      await ports.storage.create(kept, undefined);
      also.push(msg('There is no room to keep the recording itself; the map is kept. Choose the file again next time'));
    }
    const release = (await ports.storage.claim(stored.summary.id)) ?? (() => undefined);
    const desk = await library.place(kept, release, sound);
    const worst = worstFirst(desk.map)[0];
    const text = [songSentence(desk.map), ...also].join('. ');
    if (audio || sound) {
      const hear = worst === undefined ? undefined : { label: msg('Hear the first'), run: () => next.hearDoubt(worst) };
      core.say({ kind: said === undefined ? 'info' : 'error', text, here: also.length === 0, action: hear });
    } else {
      core.say({
        kind: said === undefined ? 'info' : 'error',
        text: `${text}. ${askForRecording(desk.map).text}`,
        action: { label: msg('Choose the recording'), run: () => next.chooseRecording() },
      });
    }
    await library.refresh();
    askToKeep(core);
    if (audio && !sound) void library.readSound(desk);
  };

  return {
    openRecording,
    keep,
    attach: async (file: File): Promise<void> => {
      const desk = core.desk.peek();
      if (!desk) return;
      await tasks.run(msg(str`Reading "${file.name}"`), async (task) => {
        const decoded = await decode(core, file, file.name, task);
        const { recording, title } = desk.map;
        const { contentId } = recording;
        if (decoded.recording.contentId !== contentId) {
          const known = desk.print ? [{ id: desk.id, print: desk.print }] : [];
          const { found } = await core.solver.recognise(decoded.signal, known);
          task.signal.throwIfAborted();
          if (!found) return refuse(desk, file, decoded.recording.duration);
          offerSame(core, file, title, found, {
            take: () => moveTo(desk, file),
            openAsNew: () => openRecording(file, true),
          });
          return;
        }
        const { peaks } = desk.song.peek().peaks.data.length === 0 ? decoded : { peaks: undefined };
        await ports.storage.setAudio(desk.id, file, peaks, contentId);
        desk.set({ hasAudio: true, ...(peaks ? { peaks } : {}) });
        if (core.desk.peek() === desk) await library.hear(desk, decoded.pcm);
        core.say({ kind: 'info', text: msg(str`"${title}" has its recording now.`) });
        await library.refresh();
      });
    },
  };
}

/** True when storage had no room. */
export function isFull(error: unknown): boolean {
  return error instanceof Error && 'kind' in error && error.kind === 'full';
}
