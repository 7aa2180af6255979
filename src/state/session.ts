import type { ReadonlySignal, Signal } from '@preact/signals-core';
import type { LockDraft, SongMap } from '../model/song-map.js';
import type { Evidence } from '../analysis/evidence.js';
import type { Peaks } from '../dsp/peaks.js';
import type { BarIndex, Seconds } from '../music/units.js';
import type { SongSummary } from './ports.js';

/** Everything the screen reads and everything it can do. Elements read signals and run commands; nothing else. */
export interface Session {
  readonly songs: ReadonlySignal<readonly SongSummary[]>;
  readonly song: ReadonlySignal<OpenSong | undefined>;
  /** Long work under way: decoding, analysing, saving. */
  readonly task: ReadonlySignal<Task | undefined>;
  /** What was last said to the user: "7 bars changed", an error, a conflict with its way out. */
  readonly notice: ReadonlySignal<Notice | undefined>;
  readonly playing: ReadonlySignal<boolean>;
  readonly settings: Signal<Settings>;
  readonly view: View;
  /** Where the sound is now; read it each frame while playing. */
  position(): Seconds;
  /** Runs a map edit: stores it, solves, says what changed. Resolves when the map shown is solved. */
  edit(label: string, change: (map: SongMap) => SongMap): Promise<void>;
  /** Adds locks as one edit. */
  lock(label: string, drafts: readonly LockDraft[]): Promise<void>;
  openFile(file: File): Promise<void>;
  openSample(name: string): Promise<void>;
  openSong(id: string): Promise<void>;
  closeSong(): void;
  renameSong(id: string, title: string): Promise<void>;
  removeSong(id: string): Promise<void>;
  undo(): Promise<void>;
  redo(): Promise<void>;
  play(from?: Seconds, until?: Seconds): Promise<void>;
  stop(): void;
  saveProject(withAudio: boolean): Promise<void>;
  saveJams(): Promise<void>;
  /** For a project that came without its recording. */
  attachRecording(file: File): Promise<void>;
  dismissNotice(): void;
}

export interface OpenSong {
  readonly id: string;
  readonly map: SongMap;
  readonly evidence: Evidence;
  readonly peaks: Peaks;
  /** The sound is loaded and can be played. */
  readonly audible: boolean;
  /** The recording's file is kept with the song. */
  readonly hasAudio: boolean;
  readonly solving: boolean;
  readonly saved: 'saved' | 'saving' | 'failed';
  readonly undoLabel?: string;
  readonly redoLabel?: string;
  /** Bars that the last solve changed, shown for a second. */
  readonly changed: readonly BarIndex[];
}

export interface Task {
  /** "Decoding", "Finding beats". */
  readonly text: string;
  /** 0 to 1. */
  readonly done: number;
  /** The outline as far as it is decoded. */
  readonly outline?: Peaks;
  readonly duration?: Seconds;
  readonly cancel?: () => void;
}

export interface Notice {
  readonly kind: 'info' | 'error';
  readonly text: string;
  /** A way out: "Lift these 2 locks and apply". */
  readonly action?: { readonly label: string; readonly run: () => Promise<void> };
}

/** What the user looks at; not part of the song, not in the history. */
export interface View {
  readonly workspace: Signal<'map' | 'passes' | 'play' | 'chart'>;
  /** Where the next action lands: a beat or any time. */
  readonly cursor: Signal<Seconds>;
  /** Selected bars, both included. */
  readonly selection: Signal<{ readonly first: BarIndex; readonly last: BarIndex } | undefined>;
  /** Close-up: first second shown and seconds across. */
  readonly window: Signal<{ readonly from: Seconds; readonly span: Seconds }>;
  /** Index into map.doubts of the doubt being heard. */
  readonly doubt: Signal<number | undefined>;
}

export interface Settings {
  readonly recordingLevel: number;
  readonly clickLevel: number;
  readonly clickOn: boolean;
  readonly theme: 'light' | 'dark' | 'system';
  readonly letterKeys: boolean;
  /** Milliseconds before the key at which the bar that a length key means was sounding. */
  readonly keyLag: number;
  readonly snapTaps: boolean;
}
