import type { Outlines } from '../../src/export/chart/chart-svg.js';
import type { ChartLayout } from '../../src/export/chart/layout.js';
import { createHash } from 'node:crypto';
import type { AnalysisSignal } from '../../src/analysis/evidence/signal.js';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { Cancelled } from '../../src/analysis/progress.js';
import type { SolveOutcome } from '../../src/analysis/solve.js';
import { RecordingProblem } from '../../src/platform/decode/problem.js';
import type { Recording, SongMap } from '../../src/model/song-map.js';
import type {
  AnalyserPort,
  ClipJob,
  ClipsPort,
  ClockPort,
  Decoded,
  DecoderPort,
  FilesPort,
  PageFormat,
  MadePages,
  PagesPort,
  KnownPrint,
  Levels,
  PlayerPort,
  Ports,
  Recognised,
  StoragePort,
  Tone,
  TrackJob,
  TracksPort,
} from '../../src/app/kit/ports.js';
import type { Alignment } from '../../src/analysis/fingerprint/same-recording.js';
import type { PackedSound } from '../../src/dsp/packed-sound.js';
import type { PlayPlan } from '../../src/model/play-plan.js';
import type { Speech } from '../../src/dsp/speech.js';
import { cutAt, type Piece } from '../../src/music/timeline.js';
import { memoryStorage } from '../../src/platform/storage/memory.js';
import { gridMap, gridSolve } from './grid-solver.js';
import { flatEvidence, flatPeaks } from './songs.js';

/** A clock that stands still until it is moved. */
export class FakeClock implements ClockPort {
  time = 1000;
  private waiting: { at: number; task: () => void }[] = [];

  now(): number {
    return this.time;
  }

  date(): number {
    return 1_700_000_000_000 + this.time;
  }

  after(ms: number, task: () => void): () => void {
    const entry = { at: this.time + ms, task };
    this.waiting.push(entry);
    return () => {
      this.waiting = this.waiting.filter((each) => each !== entry);
    };
  }

  /** Moves on, running what is due in order. */
  pass(ms: number): void {
    const end = this.time + ms;
    for (;;) {
      const due = this.waiting.filter(({ at }) => at <= end).sort((a, b) => a.at - b.at)[0];
      if (!due) break;
      this.waiting = this.waiting.filter((each) => each !== due);
      this.time = due.at;
      due.task();
    }
    this.time = end;
  }
}

/** Something that waits until the test lets it go on. */
export class Gate {
  private waiting: (() => void)[] = [];
  private held = false;

  hold(): void {
    this.held = true;
  }

  get count(): number {
    return this.waiting.length;
  }

  open(): void {
    this.held = false;
    const waiting = this.waiting;
    this.waiting = [];
    for (const go of waiting) go();
  }

  async pass(): Promise<void> {
    if (!this.held) return;
    await new Promise<void>((resolve) => this.waiting.push(resolve));
  }
}

/** A recording for FakeDecoder: so many seconds long; `text` makes one file different from another. */
export function recordingFile(name = 'lantern_road.wav', seconds = 31, text = ''): File {
  return new File([`sound ${seconds} ${text}`], name, { type: 'audio/wav' });
}

/** What FakeDecoder says of a file whose text has "cut" in it. */
export const CUT_SHORT = 'The file ends before its sound does; what is there was read.';

/** "Decodes" the files that recordingFile makes; anything else is not audio. */
export class FakeDecoder implements DecoderPort {
  readonly gate = new Gate();
  readonly names: string[] = [];

  async artist(): Promise<string | undefined> {
    return undefined;
  }

  async decode(file: Blob, fileName: string, options: Parameters<DecoderPort['decode']>[2] = {}): Promise<Decoded> {
    this.names.push(fileName);
    const bytes = Buffer.from(await file.arrayBuffer());
    const found = /^sound (\d+) /.exec(bytes.toString());
    if (!found) {
      throw new RecordingProblem('not-audio', `"${fileName}" is not a recording: choose an audio file.`);
    }
    const duration = Number(found[1]);
    options.report?.(0.5);
    options.outline?.(flatPeaks(duration / 2));
    await this.gate.pass();
    if (options.signal?.aborted) throw new Cancelled();
    options.report?.(1);
    const recording: Recording = {
      fileName,
      duration,
      sampleRate: 44100,
      channels: 1,
      contentId: createHash('sha256').update(bytes).digest('hex'),
    };
    return {
      pcm: { sampleRate: 44100, channels: [new Int16Array(8)], unit: 2 ** -15 },
      signal: new Float32Array(8),
      peaks: flatPeaks(duration),
      recording,
      format: 'WAV',
      ...(bytes.includes('cut') ? { warning: CUT_SHORT } : {}),
    };
  }
}

/** Solves on a fixed grid of beats (see grid-solver.ts) and remembers what it was asked. */
export class FakeAnalyser implements AnalyserPort {
  /** Version of the evidence it makes. */
  version = 'test-1';
  readonly gate = new Gate();
  readonly analysing = new Gate();
  solves = 0;
  analyses = 0;
  /** Throws at the next solve. */
  failing: Error | undefined;
  private inUse: Evidence | undefined;

  async analyse(
    _samples: AnalysisSignal,
    recording: Recording,
    title: string,
    options: Parameters<AnalyserPort['analyse']>[3] = {},
  ): Promise<{ evidence: Evidence; map: SongMap }> {
    this.analyses += 1;
    options.report?.('features', 0.2);
    options.report?.('beats', 0.6);
    options.found?.({ beats: [0.5, 1, 1.5, 2], lines: [0.5] });
    await this.analysing.pass();
    if (options.signal?.aborted) throw new Cancelled();
    const evidence = flatEvidence(recording.duration, this.version);
    this.inUse = evidence;
    return { evidence, map: gridMap(evidence, recording, title) };
  }

  /** What each known song is said to be in the file heard next. */
  same: ((known: KnownPrint) => Alignment | undefined) | undefined;

  async recognise(samples: AnalysisSignal, known: readonly KnownPrint[]): Promise<Recognised> {
    const print = { duration: samples.length, words: Uint32Array.of(samples.length) };
    for (const one of known) {
      const found = this.same?.(one);
      if (found) return { print, found: { id: one.id, ...found } };
    }
    return { print };
  }

  async use(evidence: Evidence): Promise<void> {
    this.inUse = evidence;
  }

  async solve(map: SongMap): Promise<SolveOutcome> {
    this.solves += 1;
    const evidence = this.inUse;
    await this.gate.pass();
    if (this.failing) {
      const error = this.failing;
      this.failing = undefined;
      throw error;
    }
    if (!evidence) throw new Error('no evidence in use');
    if (evidence.duration !== map.recording.duration) throw new Error("another song's evidence is in use");
    return gridSolve(evidence, map);
  }
}

/** Makes nothing of the jobs but remembers them. */
export class FakeTracks implements TracksPort {
  jobs: readonly TrackJob[] = [];

  async make(_pcm: PackedSound, jobs: readonly TrackJob[], options: Parameters<TracksPort['make']>[2]): Promise<void> {
    this.jobs = jobs;
    options.give(jobs.length > 1 ? options.archive : jobs[0]!.name, new Blob(['tracks']));
  }
}

/** Makes nothing of a job but remembers it; can make WebM alone. */
export class FakeClips implements ClipsPort {
  readonly made: { readonly job: ClipJob; readonly sound: boolean }[] = [];

  fault(format: ClipJob['format']): Promise<string | undefined> {
    return Promise.resolve(format === 'mp4' ? 'This browser cannot write sound for MP4. Choose WebM.' : undefined);
  }

  make(job: ClipJob, pcm: PackedSound | undefined): Promise<Blob> {
    this.made.push({ job, sound: pcm !== undefined });
    return Promise.resolve(new Blob(['clip']));
  }
}

/** Plays silently; the test says where the sound is. */
export class FakePlayer implements PlayerPort {
  place = 0;
  playing = false;
  loaded = false;
  levels: Levels = { recording: 0, click: 0, count: 0, strum: 0 };
  tone: Tone = { transpose: 0, sides: 'both' };
  /** The stretch of each first piece. */
  readonly plays: { from: number; until: number | undefined }[] = [];
  plan: PlayPlan | undefined;
  speech: Speech | undefined;
  delay = 0;
  /** What the microphone tells when it is open. */
  heard: ((elapsed: number) => void) | undefined;
  /** How many microphones are open; they are given when `allowed` says so. */
  open = 0;
  allowed: Promise<void> = Promise.resolve();
  /** Seconds of the timeline that have been played. */
  now = 0;
  private readonly listeners = new Set<(playing: boolean) => void>();
  private readonly cutOffListeners = new Set<(how: 'interrupted' | 'broken') => void>();

  async load(): Promise<void> {
    this.loaded = true;
  }

  unload(): void {
    this.stop();
    this.loaded = false;
  }

  duration(): number {
    return this.loaded ? 30 : 0;
  }

  setTone(tone: Tone): void {
    this.tone = tone;
  }

  setLevels(levels: Levels): void {
    this.levels = levels;
  }

  async play(plan: PlayPlan): Promise<void> {
    if (!this.loaded) throw new Error('no recording is loaded');
    this.plan = plan;
    this.now = 0;
    const [first] = plan.pieces;
    this.plays.push({ from: first?.from ?? 0, until: plan.pieces.at(-1)?.until });
    this.place = first?.from ?? 0;
    this.tell(true);
  }

  replace(at: number, plan: PlayPlan): void {
    if (!this.plan) return;
    const soundings = [...this.plan.soundings.filter((each) => each.at < at), ...plan.soundings];
    this.plan = { ...plan, pieces: [...cutAt(this.plan.pieces, at), ...plan.pieces], soundings };
  }

  setSpeech(speech: Speech): void {
    this.speech = speech;
  }

  setDelay(delay: number): void {
    this.delay = delay;
  }

  timeline(): readonly Piece[] {
    return this.plan?.pieces ?? [];
  }

  async listen(_late: number, heard: (elapsed: number) => void): Promise<() => void> {
    await this.allowed;
    this.heard = heard;
    this.open += 1;
    return () => {
      this.heard = undefined;
      this.open -= 1;
    };
  }

  elapsed(): number {
    return this.now;
  }

  rendered(): number {
    return this.now;
  }

  stop(): void {
    if (this.playing) this.tell(false);
  }

  position(): number {
    return this.place;
  }

  onChange(listener: (playing: boolean) => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  onCutOff(listener: (how: 'interrupted' | 'broken') => void): () => void {
    this.cutOffListeners.add(listener);
    return () => this.cutOffListeners.delete(listener);
  }

  /** What the system does to the sound. */
  cutOff(how: 'interrupted' | 'broken'): void {
    this.stop();
    if (how === 'broken') this.loaded = false;
    for (const listener of this.cutOffListeners) listener(how);
  }

  private tell(playing: boolean): void {
    this.playing = playing;
    for (const listener of this.listeners) listener(playing);
  }
}

/** Keeps what was handed over and gives the files that the test lays out. */
export class FakeFiles implements FilesPort {
  readonly saved: { name: string; data: Blob }[] = [];
  next: File | undefined;
  samples = new Map<string, File>();

  save(name: string, data: Blob): void {
    this.saved.push({ name, data });
  }

  async pick(): Promise<File | undefined> {
    return this.next;
  }

  async speech(): Promise<File> {
    return recordingFile('words.ogg', 14);
  }

  async sample(name: string): Promise<File> {
    const file = this.samples.get(name);
    if (!file) throw new Error(`no sample ${name}`);
    return file;
  }
}

export class FakePages implements PagesPort {
  readonly made: { layout: ChartLayout; format: PageFormat }[] = [];
  printed = 0;

  async make(layout: ChartLayout, format: PageFormat): Promise<MadePages> {
    this.made.push({ layout, format });
    return { files: [new Blob([format])], unset: [] };
  }

  async outlines(): Promise<Outlines> {
    return (text) => [{ text, width: 500 * text.length, path: 'M0 0z' }];
  }

  async print(): Promise<void> {
    this.printed++;
  }
}

export interface FakePorts extends Ports {
  readonly decoder: FakeDecoder;
  readonly analyser: FakeAnalyser;
  readonly player: FakePlayer;
  readonly tracks: FakeTracks;
  readonly clips: FakeClips;
  readonly files: FakeFiles;
  readonly pages: FakePages;
  readonly clock: FakeClock;
  readonly kept: { settings: unknown };
}

/** Ports for a session in a test; give the same storage again to play a reload. */
export function fakePorts(storage: StoragePort = memoryStorage()): FakePorts {
  const kept: { settings: unknown } = { settings: undefined };
  return {
    decoder: new FakeDecoder(),
    analyser: new FakeAnalyser(),
    player: new FakePlayer(),
    tracks: new FakeTracks(),
    clips: new FakeClips(),
    storage,
    files: new FakeFiles(),
    pages: new FakePages(),
    clock: new FakeClock(),
    settings: {
      read: () => kept.settings,
      write: (value) => {
        kept.settings = value;
      },
    },
    kept,
  };
}
