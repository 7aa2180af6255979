import { PLAYER_PROCESSOR, type PlayerRequest } from './player-messages.js';
import { Playback } from './playback.js';

/** The audio thread's end of the player: hands messages to Playback and blocks to the output. */
class PlayerProcessor extends AudioWorkletProcessor {
  readonly #playback = new Playback(sampleRate, (report) => this.port.postMessage(report));

  constructor() {
    super();
    this.port.onmessage = (event: MessageEvent<PlayerRequest>) => this.#playback.take(event.data, currentFrame);
  }

  process(_inputs: Float32Array[][], outputs: Float32Array[][]): boolean {
    const output = outputs[0];
    const left = output?.[0];
    if (left) this.#playback.render(left, output[1] ?? left, left.length, currentFrame);
    return !this.#playback.gone;
  }
}

registerProcessor(PLAYER_PROCESSOR, PlayerProcessor);
