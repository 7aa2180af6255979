import processorUrl from '../../../worklets/player-processor.ts?worker&url';
import { PLAYER_PROCESSOR, type PlayerReport, type PlayerRequest } from '../../../worklets/player-messages.js';
import { sideMix } from '../../dsp/side-mix.js';
import type { PackedSound } from '../../dsp/packed-sound.js';
import type { Programme } from '../../dsp/playback.js';
import type { Speech } from '../../dsp/speech.js';
import { soundOf } from '../../dsp/sound-bank.js';
import { packed } from '../../dsp/voices.js';
import type { PlayPlan } from '../../model/play-plan.js';
import { BUSES, type SoundName } from '../../music/timeline.js';
import type { Levels, Tone } from '../../app/kit/ports.js';

/** The player's processor in an audio context, live or offline, with its messages. */
export class PlayerNode {
  readonly node: AudioWorkletNode;
  readonly #sounds = new Map<SoundName, number>();
  #speech: Speech | undefined;

  /** `report` hears what the processor says; `failed` is called if the processor dies. */
  static async create(
    context: BaseAudioContext,
    report: (report: PlayerReport) => void,
    failed: () => void = () => {},
  ): Promise<PlayerNode> {
    await context.audioWorklet.addModule(processorUrl);
    return new PlayerNode(context, report, failed);
  }

  private constructor(context: BaseAudioContext, report: (report: PlayerReport) => void, failed: () => void) {
    this.node = new AudioWorkletNode(context, PLAYER_PROCESSOR, { numberOfInputs: 0, outputChannelCount: [2] });
    this.node.port.onmessage = (event: MessageEvent<PlayerReport>) => report(event.data);
    this.node.onprocessorerror = failed;
    this.node.connect(context.destination);
  }

  send(request: PlayerRequest, transfer: Transferable[] = []): void {
    this.node.port.postMessage(request, transfer);
  }

  /** Hands the sound over: afterwards the arrays of `sound` are empty here. */
  load(sound: PackedSound): void {
    const buffers = new Set(sound.channels.map((channel) => channel.buffer).filter((b) => b instanceof ArrayBuffer));
    this.send({ kind: 'load', sound }, [...buffers]);
  }

  setLevels(levels: Levels): void {
    this.send({ kind: 'levels', levels: BUSES.map((bus) => levels[bus]) });
  }

  setTone({ transpose, sides }: Tone): void {
    this.send({ kind: 'tone', transpose, mix: sideMix(sides) });
  }

  /** Spoken from now on, what has been planned already included. */
  setSpeech(speech: Speech): void {
    this.#speech = speech;
    for (const [name, first] of this.#sounds) {
      if (name.startsWith('say ')) this.send({ kind: 'sounds', first, sounds: [this.#sound(name)] });
    }
  }

  play(id: number, plan: PlayPlan): void {
    this.send({ kind: 'play', id, programme: this.#programme(plan) });
  }

  replace(id: number, at: number, plan: PlayPlan): void {
    this.send({ kind: 'replace', id, at, programme: this.#programme(plan) });
  }

  /** Fades out what sounds, then lets go of the sound and of the processor, which ends itself. */
  close(): void {
    this.node.onprocessorerror = null;
    this.node.port.onmessage = null;
    this.send({ kind: 'unload' });
  }

  #sound(name: SoundName): Float32Array {
    return soundOf(name, this.node.context.sampleRate, this.#speech) ?? new Float32Array(1);
  }

  #programme(plan: PlayPlan): Programme {
    const first = this.#sounds.size;
    const added: Float32Array[] = [];
    const indexOf = (name: SoundName): number => {
      const known = this.#sounds.get(name);
      if (known !== undefined) return known;
      const index = this.#sounds.size;
      this.#sounds.set(name, index);
      added.push(this.#sound(name));
      return index;
    };
    const soundings = packed(plan.soundings, indexOf);
    if (added.length > 0) this.send({ kind: 'sounds', first, sounds: added });
    return { pieces: plan.pieces, soundings, end: plan.end };
  }
}
