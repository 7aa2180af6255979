import type { Alignment } from '../../analysis/fingerprint/same-recording.js';
import type { AnalysisSignal } from '../../analysis/evidence/signal.js';
import type { Evidence } from '../../analysis/evidence/evidence.js';
import type { FoundBeats, Step } from '../../analysis/progress.js';
import type { SolveOutcome } from '../../analysis/solve.js';
import type { Fingerprint } from '../../dsp/fingerprint.js';
import type { Sides } from '../../dsp/side-mix.js';
import type { PackedSound } from '../../dsp/packed-sound.js';
import type { Peaks } from '../../dsp/peaks.js';
import type { Speech } from '../../dsp/speech.js';
import type { ClipBackground, ClipShape } from '../../export/clip/clip-marks.js';
import type { Outlines } from '../../export/chart/chart-svg.js';
import type { ChartLayout } from '../../export/chart/layout.js';
import type { TrackOptions } from '../../export/practice-track.js';
import type { TrackTags } from '../../export/track-tags.js';
import type { Cue } from '../../export/wav.js';
import type { PlayPlan } from '../../model/play-plan.js';
import type { Recording, SongMap } from '../../model/song-map.js';
import type { Bus, Piece } from '../../music/timeline.js';
import type { Seconds } from '../../music/units.js';
import type { ProjectStep } from '../../project/project.js';

/** What the state needs of the outside: each port has one implementation for the browser and one for tests. */
export interface Ports {
  readonly decoder: DecoderPort;
  readonly analyser: AnalyserPort;
  readonly player: PlayerPort;
  readonly tracks: TracksPort;
  readonly clips: ClipsPort;
  readonly storage: StoragePort;
  readonly files: FilesPort;
  readonly pages: PagesPort;
  readonly clock: ClockPort;
  readonly settings: SettingsPort;
  /** What the browser withholds from the page at this address and how to get it, in a sentence; absent when nothing. */
  readonly withheld?: string;
  /** The language of the texts (BCP 47), for files that say it; English without. */
  readonly language?: string;
}

/** Time for what the user does and sees; never for the sound. */
export interface ClockPort {
  /** Milliseconds, ascending, from any zero. */
  now(): number;
  /** Milliseconds since 1970. */
  date(): number;
  /** Runs `task` once after `ms`; the function returned calls it off. */
  after(ms: number, task: () => void): () => void;
}

/** A few words kept between visits; does nothing where the browser keeps none. */
export interface SettingsPort {
  read(): unknown;
  write(value: unknown): void;
}

export interface Decoded {
  /** To be played: at most two channels, at most 48 kHz. */
  readonly pcm: PackedSound;
  /** For analysing: mono at ANALYSIS_RATE. */
  readonly signal: AnalysisSignal;
  readonly peaks: Peaks;
  readonly recording: Recording;
  /** As a person names it: "MP3", "FLAC", "AAC in MP4". */
  readonly format: string;
  /** What is amiss with the file although it could be used: it breaks off, or has gaps. A sentence for the user. */
  readonly warning?: string;
}

export interface DecoderPort {
  /** The artist that a file's own tags name; undefined when they name none or cannot be read. */
  artist(file: Blob): Promise<string | undefined>;
  /**
   * Decodes in chunks off the main thread. Throws a RecordingProblem (from src/platform/decode/problem.ts) whose message says
   * what was found and what to do. `report`: 0 to 1; `outline`: the peaks so far.
   */
  decode(
    file: Blob,
    fileName: string,
    options?: {
      signal?: AbortSignal;
      report?: (done: number) => void;
      outline?: (peaks: Peaks) => void;
      /** Only to be played: the signal for the analysis is left empty. */
      soundOnly?: boolean;
    },
  ): Promise<Decoded>;
}

export interface AnalyserPort {
  /** Evidence and first map; the evidence also stays in the worker for solve(). `samples` is transferred. */
  analyse(
    samples: AnalysisSignal,
    recording: Recording,
    title: string,
    options?: {
      signal?: AbortSignal;
      report?: (step: Step, done: number) => void;
      /** Beats to show before the map is there. */
      found?: (beats: FoundBeats) => void;
    },
  ): Promise<{ evidence: Evidence; map: SongMap }>;
  /**
   * The fingerprint of a sound, and which of the recordings known it is, if one; then how that one lies in it.
   * `samples` stay the caller's.
   */
  recognise(samples: AnalysisSignal, known: readonly KnownPrint[]): Promise<Recognised>;
  /** Gives the worker the evidence of a song that was opened from storage, and its map, whose first edits are then as quick as later ones. */
  use(evidence: Evidence, map?: SongMap): Promise<void>;
  /** Solves around the map's locks with the evidence in use. */
  solve(map: SongMap): Promise<SolveOutcome>;
}

/** The fingerprint of a kept song. */
export interface KnownPrint {
  readonly id: string;
  readonly print: Fingerprint;
}

export interface Recognised {
  readonly print: Fingerprint;
  readonly found?: { readonly id: string } & Alignment;
}

/** A gain for each kind of sound: 0 to 1, linear. */
export type Levels = Readonly<Record<Bus, number>>;

export interface Tone {
  /** Semitones by which the recording is moved; fractions are cents. */
  readonly transpose: number;
  readonly sides: Sides;
}

/**
 * Plays plans on the audio clock: stretches of the recording at any speed with sounds on top. Where playing is, is a
 * function of that clock, not a running counter.
 */
export interface PlayerPort {
  /** Takes over the sound (its buffers are transferred to the audio thread). */
  load(pcm: PackedSound): Promise<void>;
  unload(): void;
  /** Seconds of the sound that is loaded; 0 when none is. */
  duration(): Seconds;
  setLevels(levels: Levels): void;
  setTone(tone: Tone): void;
  /** Plays from the beginning of the plan and stops by itself at its end. Must be called from a user action the first time. */
  play(plan: PlayPlan): Promise<void>;
  /** While it plays: from second `at` of its timeline on it is another plan. Nothing happens when nothing plays. */
  replace(at: Seconds, plan: PlayPlan): void;
  stop(): void;
  /** What counts and announcements are spoken with; tones take the place of numbers until it is there. */
  setSpeech(speech: Speech): void;
  /** Seconds that the sound reaches the ear later than the browser says; below 0: earlier. */
  setDelay(delay: Seconds): void;
  /** All pieces of the timeline that plays, or played last, as they were planned when they sounded. */
  timeline(): readonly Piece[];
  /**
   * Listens for strokes with the microphone, which the user is asked for, until the function returned is called; `heard` is told
   * when on the timeline each was played, `late` seconds taken off. Nothing is kept of the sound. Rejects with a sentence.
   */
  listen(late: Seconds, heard: (elapsed: Seconds) => void): Promise<() => void>;
  /** Where the sound now heard lies in the recording (output latency taken off); the last place when stopped. */
  position(): Seconds;
  /** Seconds of the timeline that have been heard; 0 when nothing plays. */
  elapsed(): Seconds;
  /** Seconds of the timeline that the audio thread has been given: a change comes in time if it lies a little later. */
  rendered(): Seconds;
  /** Called on start, stop and end. Returns the function that ends the subscription. */
  onChange(listener: (playing: boolean) => void): () => void;
  /**
   * Called after playing has ended because of something outside the page: 'interrupted' by the system (play() goes on), or
   * 'broken', when the sound has to be loaded again. Returns the function that ends the subscription.
   */
  onCutOff(listener: (how: 'interrupted' | 'broken') => void): () => void;
}

/** A track to be made: its file name, what it plays, the places marked in it, what it says of itself. */
export interface TrackJob {
  readonly name: string;
  readonly format: 'wav' | 'mp3';
  readonly plan: PlayPlan;
  readonly cues: readonly Cue[];
  readonly tags: TrackTags;
  readonly options: TrackOptions;
}

export interface TracksPort {
  /**
   * Renders the tracks off the main thread. `give` gets a ZIP archive of several, called `archive`, when all are made; or each
   * track as it is made, where there is only one or the browser has no files to write an archive to. The arrays of `pcm` are
   * handed over and empty afterwards. Rejects with the reason of `signal` when called off; `report`: 0 to 1.
   */
  make(
    pcm: PackedSound,
    jobs: readonly TrackJob[],
    options: {
      readonly archive: string;
      readonly give: (name: string, file: Blob) => void;
      readonly speech?: Speech;
      readonly signal?: AbortSignal;
      readonly report?: (done: number) => void;
    },
  ): Promise<void>;
}

export type ClipFormat = 'webm' | 'mp4';

/** A clip of the play view to be made. */
export interface ClipJob {
  readonly map: SongMap;
  /** What is played, when. */
  readonly plan: PlayPlan;
  readonly options: TrackOptions;
  readonly shape: ClipShape;
  readonly background: ClipBackground;
  readonly format: ClipFormat;
}

export interface ClipsPort {
  /** Why such a clip cannot be made here, in a sentence; undefined when it can. */
  fault(format: ClipFormat, job: Pick<ClipJob, 'shape'>): Promise<string | undefined>;
  /**
   * Makes a clip off the main thread, silent without `pcm`, whose arrays are handed over and empty afterwards. Rejects with the
   * reason of `signal` when called off; `report`: 0 to 1.
   */
  make(
    job: ClipJob,
    pcm: PackedSound | undefined,
    options: { readonly signal?: AbortSignal; readonly report?: (done: number) => void },
  ): Promise<Blob>;
}

export interface SongSummary {
  readonly id: string;
  readonly title: string;
  readonly duration: Seconds;
  /** Milliseconds since 1970. */
  readonly changed: number;
  readonly hasAudio: boolean;
  /** The recording it maps: Recording.contentId. */
  readonly contentId: string;
}

/** One step of the history as stored; with evidence when from it on the map rests on another ("analyse anew"). */
export type StoredStep = ProjectStep;

/** An edit whose solve is not finished: kept first, so that it outlives a crash; `append` takes its place. */
export interface PendingEdit {
  readonly label: string;
  /** RFC 6902 patch from the map at the place to the edited, not yet solved one. */
  readonly patch: unknown;
}

export interface StoredSong {
  readonly summary: SongSummary;
  readonly evidence: Evidence;
  readonly peaks: Peaks;
  /** Missing in songs kept before there was one. */
  readonly print?: Fingerprint;
  /** Content id of the recording that `peaks` and `print` are of; missing when it is that of the first map. */
  readonly soundOf?: string;
  readonly steps: readonly StoredStep[];
  /** Index of the step that is shown: below the last one after an undo. */
  readonly place: number;
  readonly pending?: PendingEdit;
}

/** A song as storage holds it: what was lost of its analysis or its outline is missing, and nothing in it is checked. */
export type KeptSong = Omit<StoredSong, 'evidence' | 'peaks'> & Partial<Pick<StoredSong, 'evidence' | 'peaks'>>;

/** 'may be cleared': by the browser, when space is short. 'not kept': gone with the page. */
export type Keeping = 'kept' | 'may be cleared' | 'not kept';

/** Keeps songs. Every call is atomic: after a failure what was there before is there still. Errors: StorageProblem. */
export interface StoragePort {
  list(): Promise<readonly SongSummary[]>;
  create(song: StoredSong, audio: Blob | undefined): Promise<void>;
  open(id: string): Promise<KeptSong>;
  /** Keeps the song as it is given, in place of what is kept under its id or anew; the files of its recording stay. */
  put(song: StoredSong): Promise<void>;
  /** Calls `lost` whenever something outside this page closes or deletes what is kept; the next call opens it again. */
  onLost(lost: () => void): void;
  /** The recording's file as it was given, or undefined when it was not kept; with `contentId` the file of that content. */
  audio(id: string, contentId?: string): Promise<Blob | undefined>;
  /**
   * Keeps the recording, and its outline when the song came without. With `contentId` a file of other content is kept beside
   * it, for undo.
   */
  setAudio(id: string, audio: Blob, peaks?: Peaks, contentId?: string): Promise<void>;
  /** Keeps what the sound of one of the song's recordings looks and sounds like. */
  setSound(id: string, sound: Pick<StoredSong, 'peaks' | 'print' | 'soundOf'>): Promise<void>;
  /** The fingerprints of all songs that have one. */
  prints(): Promise<readonly KnownPrint[]>;
  /** Keeps an edit before it is solved; undefined takes it back. */
  setPending(id: string, edit: PendingEdit | undefined): Promise<void>;
  /** Drops the steps from `step.index` on and any pending edit, appends `step`, makes it the place, updates the summary. */
  append(id: string, step: StoredStep, summary: SongSummary): Promise<void>;
  setPlace(id: string, place: number, summary: SongSummary): Promise<void>;
  /**
   * Takes the song for this page until the function returned is called or the page is gone; undefined when another
   * page has it. Two pages writing one history would each undo the other's work.
   */
  claim(id: string): Promise<(() => void) | undefined>;
  /** Whether songs outlive the page; with `ask` the browser is asked not to clear them. */
  keeping(ask: boolean): Promise<Keeping>;
  remove(id: string): Promise<void>;
}

export type PageKind = 'chart' | 'poster';
export type PageFormat = 'pdf' | 'png' | 'svg';

export interface MadePages {
  /** One, or one for each page. */
  readonly files: readonly Blob[];
  /** Letters for which this machine has no typeface, so that a box or nothing stands in their place. */
  readonly unset: readonly string[];
}

export interface PagesPort {
  /** The pages as a PDF of as many, as an SVG drawing in which they stand under one another, or as a PNG picture of each. */
  make(layout: ChartLayout, format: PageFormat): Promise<MadePages>;
  /** What draws letters for a drawing that needs no typeface, as far as a text has any. */
  outlines(text: string): Promise<Outlines>;
  /** Opens the browser's dialogue for printing what the page holds for print, once it is there. */
  print(): Promise<void>;
}

export interface FilesPort {
  /** Hands a file to the user. */
  save(name: string, data: Blob): void;
  /** Asks the user for one file; undefined when none was chosen. */
  pick(accept: string): Promise<File | undefined>;
  /** A bundled recording, by its file name under samples/. */
  sample(name: string): Promise<File>;
  /** The spoken words that come with the page. */
  speech(): Promise<File>;
}
