import { Playback } from '../src/dsp/playback.js';
import { LateBlocks } from '../src/dsp/late-blocks.js';
import { PLAYER_PROCESSOR, type PlayerReport, type PlayerRequest } from './player-messages.js';

/** The audio thread's end of the player: hands messages to Playback and blocks to the output. */
class PlayerProcessor extends AudioWorkletProcessor {
  readonly #playback = new Playback(
    sampleRate,
    (wasm, imports) =>
      new WebAssembly.Instance(new WebAssembly.Module(wasm as Uint8Array<ArrayBuffer>), imports as WebAssembly.Imports)
        .exports,
    (report) => this.#say({ ...report }),
  );
  readonly #late = new LateBlocks(sampleRate);

  constructor() {
    super();
    this.port.onmessage = (event: MessageEvent<PlayerRequest>) => this.#take(event.data);
  }

  process(_inputs: Float32Array[][], outputs: Float32Array[][]): boolean {
    const output = outputs[0];
    const left = output?.[0];
    if (!left) return !this.#playback.gone;
    this.#late.block(Date.now() / 1000, currentFrame, left.length);
    this.#playback.render(left, output[1] ?? left, left.length, currentFrame);
    return !this.#playback.gone;
  }

  #take(request: PlayerRequest): void {
    const playback = this.#playback;
    switch (request.kind) {
      case 'load':
        return playback.load(request.sound);
      case 'unload':
        return playback.unload();
      case 'sounds':
        return playback.addSounds(request.first, request.sounds);
      case 'levels':
        return playback.setLevels(request.levels);
      case 'tone':
        return playback.setTone(request.transpose, request.mix);
      case 'play':
        return playback.play(request.id, request.programme);
      case 'replace':
        return playback.replace(request.id, request.at, request.programme);
      case 'stop':
        return playback.stop();
      case 'sync':
        return this.#say({ kind: 'synced', id: request.id, frame: currentFrame, missed: this.#late.missed });
    }
  }

  #say(report: PlayerReport): void {
    this.port.postMessage(report);
  }
}

registerProcessor(PLAYER_PROCESSOR, PlayerProcessor);
