import processorUrl from '../../worklets/player-processor.ts?worker&url';
import { PLAYER_PROCESSOR, type PlayerReport, type PlayerRequest } from '../../worklets/player-messages.js';
import type { Pcm } from '../dsp/pcm.js';
import type { Click } from '../state/ports.js';

/** The player's processor in an audio context, live or offline, with its messages. */
export class PlayerNode {
  readonly node: AudioWorkletNode;

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

  /** Hands the sound over: afterwards the arrays of `pcm` are empty here. */
  load(pcm: Pcm): void {
    const buffers = new Set(pcm.channels.map((channel) => channel.buffer).filter((b) => b instanceof ArrayBuffer));
    this.send({ kind: 'load', sampleRate: pcm.sampleRate, channels: pcm.channels }, [...buffers]);
  }

  setClicks(clicks: readonly Click[]): void {
    const places = Float64Array.from(clicks, (click) => click.time);
    const accents = Uint8Array.from(clicks, (click) => (click.accent ? 1 : 0));
    this.send({ kind: 'clicks', places, accents }, [places.buffer, accents.buffer]);
  }

  /** Fades out what sounds, then lets go of the sound and of the processor, which ends itself. */
  close(): void {
    this.node.onprocessorerror = null;
    this.node.port.onmessage = null;
    this.send({ kind: 'unload' });
  }
}
