import { msg } from '@lit/localize';
import type { PlayerReport } from '../../../worklets/player-messages.js';
import { soundDuration, type PackedSound } from '../../dsp/packed-sound.js';
import type { Seconds } from '../../music/units.js';
import type { PlayPlan } from '../../model/play-plan.js';
import { cutAt, placeAt, type Piece } from '../../music/timeline.js';
import type { Levels, PlayerPort, Tone } from '../../app/kit/ports.js';
import type { Speech } from '../../dsp/speech.js';
import { listenForStrokes } from './microphone.js';
import { PlayerNode } from './player-node.js';

/** What sounds or is about to: its pieces and, once it sounds, when on the context's clock it began. */
interface Run {
  readonly id: number;
  pieces: readonly Piece[];
  began?: Seconds;
  /** The longest elapsed time told so far: browsers settle their latency only once sound flows. */
  told: Seconds;
  readonly settle: () => void;
}

/** The browser's sound does not start. */
class SoundProblem extends Error {
  override readonly name = 'SoundProblem';
}

/** How long sound may take to start, in milliseconds. */
const STARTS_WITHIN = 8000;

const SILENT: Levels = { recording: 0, click: 0, count: 0, strum: 0 };

/** The player in the browser; owns one AudioContext, which runs at the recording's sample rate where it can. */
export class Player implements PlayerPort {
  #context: AudioContext | undefined;
  #node: PlayerNode | undefined;
  #opening: Promise<PlayerNode | undefined> | undefined;
  #sound: PackedSound | undefined;
  #duration: Seconds = 0;
  #levels: Levels = SILENT;
  #tone: Tone = { transpose: 0, sides: 'both' };
  #run: Run | undefined;
  #place: Seconds = 0;
  #speech: Speech | undefined;
  #delay: Seconds = 0;
  /** Pieces of the run before, once it is over. */
  #played: readonly Piece[] = [];
  #loads = 0;
  #runs = 0;
  readonly #listeners = new Set<(playing: boolean) => void>();
  readonly #cutOffListeners = new Set<(how: 'interrupted' | 'broken') => void>();

  /**
   * Takes over the sound: the arrays of `sound` belong to the player and are empty once it has played. The audio device is
   * opened by the first play(), not before: that takes the main thread some 50 ms. Throws when there is no sound in it.
   */
  async load(sound: PackedSound): Promise<void> {
    if (!(soundDuration(sound) > 0)) throw new RangeError('Player.load: found no sound; give at least one sample');
    this.unload();
    this.#sound = sound;
    this.#duration = soundDuration(sound);
  }

  unload(): void {
    this.#loads++;
    this.#finish(0);
    this.#node?.close();
    this.#node = undefined;
    this.#opening = undefined;
    this.#sound = undefined;
    this.#duration = 0;
  }

  /** The processor with the sound in it; undefined when another sound was loaded meanwhile. */
  async #open(context: AudioContext, sound: PackedSound): Promise<PlayerNode | undefined> {
    const load = this.#loads;
    const hear = (report: PlayerReport) => this.#hear(report);
    const node = await PlayerNode.create(context, hear, () => this.#cutOff('broken')).catch((error: unknown) => {
      // Another load has closed this one's context.
      if (load !== this.#loads) return undefined;
      this.#opening = undefined;
      throw error;
    });
    if (!node) return undefined;
    if (load !== this.#loads) {
      node.close();
      return undefined;
    }
    this.#node = node;
    node.load(sound);
    node.setLevels(this.#levels);
    node.setTone(this.#tone);
    if (this.#speech) node.setSpeech(this.#speech);
    return node;
  }

  duration(): Seconds {
    return this.#duration;
  }

  setLevels(levels: Levels): void {
    this.#levels = levels;
    this.#node?.setLevels(levels);
  }

  setTone(tone: Tone): void {
    this.#tone = tone;
    this.#node?.setTone(tone);
  }

  setSpeech(speech: Speech): void {
    this.#speech = speech;
    this.#node?.setSpeech(speech);
  }

  setDelay(delay: Seconds): void {
    this.#delay = delay;
    if (this.#run) this.#run.told = 0;
  }

  timeline(): readonly Piece[] {
    return this.#run?.pieces ?? this.#played;
  }

  async listen(late: Seconds, heard: (elapsed: Seconds) => void): Promise<() => void> {
    const sound = this.#sound;
    if (!sound) throw new Error('Player.listen: no recording is loaded; load one first');
    const context = this.#contextFor(sound.sampleRate);
    await started(context.resume());
    return listenForStrokes(context, (at) => {
      const began = this.#run?.began;
      if (began !== undefined) heard(at - late - latencyOf(context) - this.#delay - began);
    });
  }

  /** Resolves when the sound has begun, or when something else was asked for before it could. */
  async play(plan: PlayPlan): Promise<void> {
    const sound = this.#sound;
    if (!sound) throw new Error('Player.play: no recording is loaded; load one first');
    this.#run?.settle();
    if (!(plan.end > 0)) return this.stop();
    const id = ++this.#runs;
    const begun = new Promise<void>((resolve) => {
      this.#run = { id, pieces: plan.pieces, told: 0, settle: resolve };
    });
    const context = this.#contextFor(sound.sampleRate);
    // Asked for at once: some browsers allow it only within the user's action itself.
    const resumed = context.resume();
    const node = await (this.#opening ??= this.#open(context, sound))
      .then((opened) => started(resumed).then(() => opened))
      .catch((error: unknown) => {
        if (this.#run?.id === id) this.#finish(placeAt(plan.pieces, 0));
        else if (error instanceof SoundProblem) return undefined;
        throw error;
      });
    if (!node || this.#run?.id !== id) return;
    node.play(id, plan);
    await begun;
  }

  replace(at: Seconds, plan: PlayPlan): void {
    const run = this.#run;
    if (!run || run.began === undefined) return;
    run.pieces = [...cutAt(run.pieces, at), ...plan.pieces];
    this.#node?.replace(run.id, at, plan);
  }

  stop(): void {
    if (!this.#run) return;
    this.#node?.send({ kind: 'stop' });
    this.#finish(this.position());
  }

  position(): Seconds {
    return this.#run && this.#context ? placeAt(this.#run.pieces, this.elapsed()) : this.#place;
  }

  elapsed(): Seconds {
    const [run, context] = [this.#run, this.#context];
    if (!run || !context || run.began === undefined) return 0;
    run.told = Math.max(run.told, heardTime(context) - this.#delay - run.began);
    return run.told;
  }

  rendered(): Seconds {
    const [run, context] = [this.#run, this.#context];
    return run?.began === undefined || !context ? 0 : Math.max(0, context.currentTime - run.began);
  }

  onChange(listener: (playing: boolean) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  onCutOff(listener: (how: 'interrupted' | 'broken') => void): () => void {
    this.#cutOffListeners.add(listener);
    return () => this.#cutOffListeners.delete(listener);
  }

  #hear(report: PlayerReport): void {
    const run = this.#run;
    // A report on an earlier run comes late: the page has moved on.
    if (!run || report.id !== run.id) return;
    if (report.kind === 'started') {
      run.began = report.frame / this.#context!.sampleRate;
      run.settle();
      this.#tell(true);
    } else if (report.kind === 'ended') {
      this.#finish(run.pieces.at(-1)?.until ?? this.#place);
    }
  }

  #finish(place: Seconds): void {
    const run = this.#run;
    this.#run = undefined;
    if (run) this.#played = run.pieces;
    this.#place = place;
    run?.settle();
    if (run) this.#tell(false);
  }

  /** Ends what sounds where it is now; the processor is told too, as the system may let it run on by itself later. */
  #cutOff(how: 'interrupted' | 'broken'): void {
    this.stop();
    if (how === 'broken') {
      this.#node = undefined;
      this.#opening = undefined;
      this.#sound = undefined;
    }
    for (const listener of [...this.#cutOffListeners]) listener(how);
  }

  #tell(playing: boolean): void {
    for (const listener of [...this.#listeners]) listener(playing);
  }

  #contextFor(sampleRate: number): AudioContext {
    const open = this.#context;
    if (open?.sampleRate === sampleRate && open.state !== 'closed') return open;
    if (open && open.state !== 'closed') void open.close();
    const context = (this.#context = openContext(sampleRate));
    // Nothing here suspends a context: when it stops running under what sounds, the system did that (a call, a device gone).
    context.addEventListener('statechange', () => {
      if (context !== this.#context) return;
      if (context.state === 'closed') this.#cutOff('broken');
      else if (context.state !== 'running' && this.#run?.began !== undefined) this.#cutOff('interrupted');
    });
    return context;
  }
}

/** Rejects with a SoundProblem when sound has not started after a while: without a device some browsers keep it waiting for ever. */
function started(resumed: Promise<void>): Promise<void> {
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(noSound()), STARTS_WITHIN);
    resumed.then(resolve, reject).finally(() => clearTimeout(late));
  });
}

function noSound(): SoundProblem {
  return new SoundProblem(
    msg('No sound starts here. Plug in headphones or a loudspeaker, close other programs that play, and try again.'),
  );
}

/** A browser that cannot run at this rate gets its own one: the processor then interpolates. */
function openContext(sampleRate: number): AudioContext {
  try {
    return new AudioContext({ sampleRate, latencyHint: 'interactive' });
  } catch {
    return new AudioContext({ latencyHint: 'interactive' });
  }
}

/**
 * What the context's clock showed when the sound now heard was made. The output's own time stamp runs evenly between blocks;
 * where it makes no sense, as before sound flows, the clock less the latency does.
 */
function heardTime(context: AudioContext): Seconds {
  const plain = context.currentTime - latencyOf(context);
  const { contextTime = 0, performanceTime = 0 } = context.getOutputTimestamp();
  if (!(contextTime > 0)) return plain;
  const stamped = contextTime + (performance.now() - performanceTime) / 1000;
  return Math.abs(stamped - plain) < 0.1 ? stamped : plain;
}

/** Seconds from the context's clock to the ear; 0 where the browser does not say. */
function latencyOf(context: AudioContext): Seconds {
  const latency = context.outputLatency;
  return latency > 0 ? latency : context.baseLatency > 0 ? context.baseLatency : 0;
}
