import type { FoundBeats } from '../../analysis/progress.js';
import type { ReadonlySignal, Signal } from '@preact/signals-core';
import type { ChordClip } from '../../model/edits/chord-clips.js';
import type { ExportId } from '../../export/export-kinds.js';
import type { ListMeaning } from '../../project/import/imported.js';
import type { PassTable } from '../../model/pass-table.js';
import type { Guide, KeptGuide } from './guide.js';
import type { CountMark, PlayStretch } from '../../model/play-plan.js';
import type { Loop, Practice } from './practice.js';
import type { Timing } from './timing.js';
import type { ClipWish } from './requests.js';
import type { TracksWish } from './requests.js';
import type { LockDraft, SongMap } from '../../model/song-map.js';
import type { Evidence } from '../../analysis/evidence/evidence.js';
import type { Peaks } from '../../dsp/peaks.js';
import type { BarIndex, Seconds } from '../../music/units.js';
import type { KeyBinding } from './command.js';
import type { Keeping, PageFormat, PageKind, SongSummary } from './ports.js';

/** Everything the screen reads and everything it can do. Elements read signals and run commands; nothing else. */
export interface Session {
  readonly songs: ReadonlySignal<readonly SongSummary[]>;
  readonly song: ReadonlySignal<OpenSong | undefined>;
  /** The map of that song: changes only when the map does, so that what shows nothing else renders no more often. */
  readonly map: ReadonlySignal<SongMap | undefined>;
  /** Long work under way: decoding, analysing, saving. */
  readonly task: ReadonlySignal<Task | undefined>;
  /** What was last said to the user: "7 bars changed", an error, a conflict with its way out. */
  readonly notice: ReadonlySignal<Notice | undefined>;
  readonly playing: ReadonlySignal<boolean>;
  readonly settings: Signal<Settings>;
  /** How the open song is practised. */
  readonly practice: Signal<Practice>;
  readonly view: View;
  /** Whether songs outlive the page: 'kept', 'may be cleared' by the browser when space is short, or 'not kept' (no storage here). */
  readonly keeping: ReadonlySignal<Keeping>;
  /** Songs changed since the last backup. */
  readonly notBackedUp: ReadonlySignal<readonly SongSummary[]>;
  /** What the browser withholds from the page at this address and how to get it, in a sentence. */
  readonly withheld?: string;
  /** The taps so far while the user taps along; undefined otherwise. */
  readonly tapping: ReadonlySignal<Tapping | undefined>;
  /** Strokes held against the beats, and the delay of the sound measured. */
  readonly timing: Timing;
  /** The way through the first song while it is shown; undefined once it is closed or gone. */
  readonly guide: ReadonlySignal<Guide | undefined>;
  /** Doubts not decided yet in the open song. */
  readonly doubtsLeft: ReadonlySignal<number>;
  /** The passes of each section that comes more than once, side by side, with what differs. */
  readonly passes: ReadonlySignal<readonly PassTable[]>;
  /** Every command, in menu order; the same records for keys, menu and buttons. */
  readonly commands: readonly Command[];
  /** Where the sound is now; read it each frame while playing. */
  position(): Seconds;
  /** The beat that is being counted before playing starts; undefined once all is counted. Read it each frame. */
  counting(): CountMark | undefined;
  /** The round of a loop that sounds, from 0, and its speed; undefined when nothing plays. Read it each frame. */
  round(): { readonly round: number; readonly speed: number } | undefined;
  /** Where the piece that sounds ends, and where playing goes on then; undefined when nothing plays or nothing follows. */
  jump(): { readonly until: Seconds; readonly from: Seconds } | undefined;
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
  /** Plays stretches of the recording one after another, uncounted and outside any loop: to compare them. */
  playStretches(stretches: readonly PlayStretch[]): Promise<void>;
  stop(): void;
  saveProject(withAudio: boolean): Promise<void>;
  /** Makes a file of the song for other programs and hands it over. */
  exportFile(id: ExportId): Promise<void>;
  /** Takes over beats, bars, chords and sections from a file or pasted text; asks before it replaces what was decided. */
  importTimes(source: File | string, meaning: ListMeaning): Promise<void>;
  /** Asks for such a file and takes it over. */
  chooseTimes(meaning: ListMeaning): Promise<void>;
  /** Hands the user one file with all songs. */
  backUp(): Promise<void>;
  /** Asks for such a file and adds its songs; nothing in the library is overwritten. */
  restoreBackup(): Promise<void>;
  /** Hands the chart or the poster to the user. */
  saveChart(kind: PageKind, format: PageFormat): Promise<void>;
  /** Prints what the workspace "Chart" shows, after opening that. */
  printChart(): void;
  /** Renders practice tracks of the song and hands them to the user. */
  saveTracks(wish: TracksWish): Promise<void>;
  /** Makes a clip of the play view, for a lesson on video, and hands it over. */
  saveClip(wish: ClipWish): Promise<void>;
  /** Why such a clip cannot be made in this browser, in a sentence; undefined when it can. */
  clipFault(wish: Pick<ClipWish, 'format' | 'shape'>): Promise<string | undefined>;
  /** For a project that came without its recording. */
  attachRecording(file: File): Promise<void>;
  dismissNotice(): void;
  /** Puts the way through the first song away for good. */
  closeGuide(): void;
  /** Puts a message on the screen, as an element does whose own work failed. */
  say(notice: Notice): void;
  /** Gives the open song another title, as an edit. */
  retitle(title: string): Promise<void>;
  /** Opens a project file of our own; openFile() does the same when it is given one. */
  openProject(file: File): Promise<void>;
  /** Asks for a recording or a project file and opens it. */
  chooseFile(): Promise<void>;
  /** Asks for the recording of a song that came without it, and attaches it. */
  chooseRecording(): Promise<void>;
  /** Analyses the open song's recording again, says what would change, and applies it when the user agrees: one edit. */
  analyseAnew(): Promise<void>;
  /** One tap of a beat where the sound is now; while nothing plays, it starts to play. */
  tap(isDownbeat: boolean): Promise<void>;
  /** Ends tapping: the taps become one lock, or are dropped. */
  endTaps(keep: boolean): Promise<void>;
  /** A digit key, 0 to 9: the bar's number of beats; 1 waits for a second digit. `before`: of the bar before. */
  lengthKey(digit: number, before: boolean): Promise<void>;
  /** The bar a length key pressed now would act on: outline it. Read it each frame while playing. */
  lengthTarget(): BarIndex | undefined;
  /** Lifts the lock (one edit). */
  liftLock(id: string): Promise<void>;
  /** Goes to the next milder doubt (1) or back (-1) and plays it. */
  nextDoubt(steps: 1 | -1): Promise<void>;
  /** Plays the doubt (an index into map.doubts) from one bar before it, with the click on the beats of one of its readings. */
  hearDoubt(index: number, reading?: 'keep' | 'other'): Promise<void>;
  /** Makes the shown reading of a doubt firm ('keep') or takes the other one; the next doubt follows when one was being heard. */
  decideDoubt(index: number, reading: 'keep' | 'other'): Promise<void>;
  /** Ends everything: playing, pending work, subscriptions. Resolves when what was under way is stored. */
  dispose(): Promise<void>;
}

/** Taps collected while the user taps along. */
export interface Tapping {
  readonly beats: readonly Seconds[];
  /** Those of `beats` tapped as beat 1. */
  readonly downbeats: readonly Seconds[];
}

/**
 * A line of text that a command asks for: an inline field beside the place it is about, never modal. The element
 * shows `label` and `hint`, starts with `value` selected, offers `choices`, shows `check(text)` while typing, calls
 * `submit` on Enter and `cancel` on Escape. Both clear `view.prompt`; `submit` keeps it when `check` has a complaint.
 */
export interface Prompt {
  readonly kind: 'section-name' | 'chords' | 'chord' | 'time-signature' | 'title';
  /** "Name for bars 9 to 16". */
  readonly label: string;
  readonly value: string;
  readonly hint?: string;
  /** Texts offered to take as they are: section names, time signatures. */
  readonly choices: readonly string[];
  /** The bar it stands beside; absent when it is about the song. */
  readonly bar?: BarIndex;
  /** What is wrong with the text, in a sentence; undefined when it can be used. */
  check(text: string): string | undefined;
  /** What is odd about a text that can be used all the same. */
  note?(text: string): string | undefined;
  submit(text: string): Promise<void>;
  /** Takes the text and asks the same of the next bar (shift Enter); absent where there is none. */
  readonly next?: { readonly label: string; submit(text: string): Promise<void> };
  cancel(): void;
}

export interface OpenSong {
  readonly id: string;
  readonly map: SongMap;
  readonly evidence: Evidence;
  readonly peaks: Peaks;
  /** The sound is loaded and can be played. */
  readonly audible: boolean;
  /** Share of the recording that has been read so far, in tenths, 0 to 1; 0 when none is read. */
  readonly read: number;
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
  /** Beats found so far. */
  readonly found?: FoundBeats;
  readonly cancel?: () => void;
}

export interface Notice {
  readonly kind: 'info' | 'error';
  readonly text: string;
  /** Said of what is looked at: without use in another workspace, its way out too. */
  readonly here?: boolean;
  /** A way out: "Lift these 2 locks and apply". */
  readonly action?: { readonly label: string; readonly run: () => Promise<void> };
  /** The other way out, where there are two. */
  readonly other?: { readonly label: string; readonly run: () => Promise<void> };
}

export type PlayPanel = 'practice' | 'strum' | 'timing' | 'shapes';

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
  /** Which of its readings was heard last. */
  readonly reading: Signal<'keep' | 'other'>;
  /** The inline field that is open, if any. */
  readonly prompt: Signal<Prompt | undefined>;
  /** The table of keys is shown. */
  readonly help: Signal<boolean>;
  /** The page of help is shown. */
  readonly helpPage: Signal<boolean>;
  /** Chords that were copied, to be pasted into this song or another. */
  readonly clip: Signal<ChordClip | undefined>;
  /** What stands beside the stage in the workspace "Play". */
  readonly panel: Signal<PlayPanel>;
  /** The panel of files to export and import is open. */
  readonly files: Signal<boolean>;
  /** Which pages the workspace "Chart" shows. */
  readonly pages: Signal<PageKind>;
}

/** What a pedal or a media key does while the workspace "Play" is open. */
export type HandsFree = 'again' | 'go on' | 'play' | 'bar back' | 'bar on' | 'nothing';

/** A loop that was played: of which recording (its contentId), and what. */
export interface KeptLoop extends Loop {
  readonly recording: string;
}

export interface Settings {
  readonly recordingLevel: number;
  /** The recording is heard. */
  readonly recordingOn: boolean;
  readonly clickLevel: number;
  readonly clickOn: boolean;
  readonly countLevel: number;
  /** What is counted is heard; it is always seen. */
  readonly countOn: boolean;
  readonly strumLevel: number;
  /** Clicks a beat. */
  readonly clickParts: 1 | 2 | 3 | 4;
  readonly clickFirstBarOnly: boolean;
  /** The click sounds in so many bars of every so many. */
  readonly clickDropOut?: { readonly sound: number; readonly of: number };
  /** Bars counted before playing starts. */
  readonly countInBars: 0 | 1 | 2;
  /** So many beats are counted instead of bars; 0: bars. */
  readonly countInBeats: number;
  /** Counted before each round of a loop and not only before the first. */
  readonly countEachRound: boolean;
  /** The strum patterns are heard. */
  readonly strumOn: boolean;
  /** Id of one of TUNINGS, or a tuning as it is typed. */
  readonly instrument: string;
  /** Chord diagrams are drawn as a left-handed player sees them. */
  readonly leftHanded: boolean;
  readonly spokenCount: boolean;
  readonly theme: 'light' | 'dark' | 'system';
  readonly letterKeys: boolean;
  /** Milliseconds before the key at which the bar that a length key means was sounding. */
  readonly keyLag: number;
  readonly snapTaps: boolean;
  /** What Page Up (and "previous track"), then Page Down (and "next track") do in the workspace "Play". */
  readonly pedalBack: HandsFree;
  readonly pedalOn: HandsFree;
  /** Minutes of playing after which a rest is called to mind; 0: never. */
  readonly restAfter: number;
  /** The caution about loud playback, shown at the first start, has been read. */
  readonly cautioned: boolean;
  /** Milliseconds that the sound reaches the ear later than the browser says, as measured by tapping to a click. */
  readonly soundDelay: number;
  /** Milliseconds that a stroke is heard late by the microphone, as measured by playing to a click. */
  readonly microphoneDelay: number;
  /** How far the way through the first song was gone. */
  readonly guide: KeptGuide;
  /** Loops last played, the latest first. */
  readonly loops: readonly KeptLoop[];
  /** When all songs were last handed over as a backup, in milliseconds since 1970. */
  readonly lastBackup?: number;
}

/** One thing a user can do: menu entry, key and button all run the same record. */
export interface Command {
  readonly id: string;
  /** As the menu says it: "Half tempo". */
  readonly label: string;
  readonly key?: KeyBinding;
  /** Other keys that do the same: Ctrl Y beside Ctrl shift Z. */
  readonly otherKeys?: readonly KeyBinding[];
  /** Holding the key down does it again and again; without it, once a press. */
  readonly repeats?: true;
  /**
   * 'map': only while the map or the recording has the focus; 'practice': there, and anywhere while the workspace "Play" is
   * open; 'everywhere': always. None of these in text fields. 'play': wherever the focus is while the workspace "Play" is open,
   * before all others.
   */
  readonly scope: 'everywhere' | 'map' | 'practice' | 'play';
  readonly group: 'song' | 'play' | 'bars' | 'beats' | 'sections' | 'passes' | 'chords' | 'doubts' | 'view';
  allowed(session: Session): boolean;
  run(session: Session): void | Promise<void>;
}
