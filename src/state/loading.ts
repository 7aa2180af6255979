import type { Pcm } from '../dsp/pcm.js';
import type { Peaks } from '../dsp/peaks.js';
import { isCancelled, type Core } from './core.js';
import { worstFirst } from './doubts.js';
import { askForRecording, type Library } from './library.js';
import type { Decoded, StoredSong } from './ports.js';
import { SAMPLES } from './samples.js';
import { counted, songSentence, STEP_TEXTS, titleFromFileName } from './sentences.js';
import type { Task } from './session.js';

/** Work that shows how far it is and can be called off; a new one calls off the one before. */
export interface Tasks {
  /** Resolves with what `work` gives, or undefined when it failed or was called off; the reason is said. */
  run<T>(text: string, work: (task: TaskHandle) => Promise<T>): Promise<T | undefined>;
  cancel(): void;
}

export interface TaskHandle {
  readonly signal: AbortSignal;
  show(news: Partial<Pick<Task, 'text' | 'done' | 'outline' | 'duration' | 'found'>>): void;
}

export function createTasks(core: Core): Tasks {
  let current: AbortController | undefined;
  return {
    run: async (text, work) => {
      current?.abort();
      const abort = (current = new AbortController());
      const isCurrent = (): boolean => current === abort;
      core.task.value = { text, done: 0, cancel: () => abort.abort() };
      try {
        return await work({
          signal: abort.signal,
          show: (news) => {
            const { value } = core.task;
            if (value && isCurrent() && !abort.signal.aborted) core.task.value = { ...value, ...news };
          },
        });
      } catch (error) {
        if (abort.signal.aborted || isCancelled(error)) {
          if (isCurrent()) core.say({ kind: 'info', text: `${text}: stopped. Nothing was changed.` });
        } else core.sayError(error);
        return undefined;
      } finally {
        if (isCurrent()) {
          current = undefined;
          core.task.value = undefined;
        }
      }
    },
    cancel: () => current?.abort(),
  };
}

/** Share of the progress bar that decoding takes. */
const DECODE_SHARE = 0.3;

/** Decodes `file` as the first part of a task. */
export async function decode(core: Core, file: Blob, fileName: string, task: TaskHandle): Promise<Decoded> {
  const decoded = await core.ports.decoder.decode(file, fileName, {
    signal: task.signal,
    report: (done) => task.show({ done: done * DECODE_SHARE }),
    outline: (outline: Peaks) => task.show({ outline }),
  });
  task.signal.throwIfAborted();
  task.show({ outline: decoded.peaks, duration: decoded.recording.duration, done: DECODE_SHARE });
  return decoded;
}

/** Analyses what was decoded as the second part of a task. */
export async function analyse(core: Core, decoded: Decoded, title: string, task: TaskHandle) {
  const found = await core.solver.analyse(decoded.signal, decoded.recording, title, {
    signal: task.signal,
    report: (step, done) =>
      task.show({ text: STEP_TEXTS[step], done: DECODE_SHARE + (1 - DECODE_SHARE) * Math.min(1, Math.max(0, done)) }),
    found: (found) => task.show({ found }),
  });
  task.signal.throwIfAborted();
  return found;
}

export interface KeepOptions {
  /** The sound, when it was decoded already; otherwise it is read after. */
  readonly sound?: Pcm | 'in the player';
  /** Said after what the song is. */
  readonly said?: string;
}

export interface Loading {
  openRecording(file: File): Promise<void>;
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

  const openRecording = async (file: File): Promise<void> => {
    await tasks.run(`Reading "${file.name}"`, async (task) => {
      const decoded = await decode(core, file, file.name, task);
      const known = core.songs.peek().find((song) => song.contentId === decoded.recording.contentId);
      if (known) return openKnown(known.id, known.title, file, decoded);
      const title = SAMPLES.find((sample) => sample.file === file.name)?.title ?? titleFromFileName(file.name);
      // With no song open the user can listen while the analysis runs; otherwise the open song keeps its sound.
      const listening = core.desk.peek() === undefined;
      const { pcm } = decoded;
      if (listening) await ports.player.load(pcm);
      try {
        const { evidence, map } = await analyse(core, decoded, title, task);
        const stored: StoredSong = {
          summary: {
            id: crypto.randomUUID(),
            title: map.title,
            duration: map.recording.duration,
            changed: ports.clock.date(),
            hasAudio: true,
            contentId: map.recording.contentId,
          },
          evidence,
          peaks: decoded.peaks,
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

  const openKnown = async (id: string, title: string, file: File, decoded: Decoded): Promise<void> => {
    const wasOpen = core.desk.peek()?.id === id;
    if (!(await library.open(id, decoded.pcm))) return;
    const desk = core.desk.peek();
    if (!desk) return;
    if (!desk.song.peek().hasAudio) {
      await ports.storage.setAudio(id, file);
      desk.set({ hasAudio: true });
    }
    if (wasOpen && !desk.song.peek().audible) await library.hear(desk, decoded.pcm);
    core.say({
      kind: 'info',
      text: wasOpen
        ? `This recording is the open song, "${title}".`
        : `You have this recording already: here is "${title}" as you left it.`,
      action: { label: 'Analyse anew', run: () => next.analyseAnew() },
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
      also.push('There is no room to keep the recording itself; the map is kept. Choose the file again next time');
    }
    const release = (await ports.storage.claim(stored.summary.id)) ?? (() => undefined);
    const desk = await library.place(kept, release, sound);
    const worst = worstFirst(desk.map)[0];
    const text = [songSentence(desk.map), ...also].join('. ');
    if (audio || sound) {
      const hear = worst === undefined ? undefined : { label: 'Hear the first', run: () => next.hearDoubt(worst) };
      core.say({ kind: said === undefined ? 'info' : 'error', text, action: hear });
    } else {
      core.say({
        kind: said === undefined ? 'info' : 'error',
        text: `${text}. ${askForRecording(desk.map).text}`,
        action: { label: 'Choose the recording', run: () => next.chooseRecording() },
      });
    }
    await library.refresh();
    core.keeping.value = await ports.storage.keeping(true);
    if (audio && !sound) void library.readSound(desk);
  };

  return {
    openRecording,
    keep,
    attach: async (file: File): Promise<void> => {
      const desk = core.desk.peek();
      if (!desk) return;
      await tasks.run(`Reading "${file.name}"`, async (task) => {
        const decoded = await decode(core, file, file.name, task);
        const { recording, title } = desk.map;
        if (decoded.recording.contentId !== recording.contentId) {
          core.say({
            kind: 'error',
            text: `"${file.name}" (${length(decoded.recording.duration)}) is not the recording of "${title}", which was made from "${recording.fileName}" (${length(recording.duration)}). Choose that file, or open this one as a song of its own.`,
            action: { label: 'Open it as a new song', run: () => openRecording(file) },
          });
          return;
        }
        const { peaks } = desk.song.peek().peaks.data.length === 0 ? decoded : { peaks: undefined };
        await ports.storage.setAudio(desk.id, file, peaks);
        desk.set({ hasAudio: true, ...(peaks ? { peaks } : {}) });
        if (core.desk.peek() === desk) await library.hear(desk, decoded.pcm);
        core.say({ kind: 'info', text: `"${title}" has its recording now.` });
        await library.refresh();
      });
    },
  };
}

function length(seconds: number): string {
  const whole = Math.round(seconds);
  return whole < 60 ? counted(whole, 'second') : `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

function isFull(error: unknown): boolean {
  return error instanceof Error && 'kind' in error && error.kind === 'full';
}
