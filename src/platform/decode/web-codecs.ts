import type { PacketDecoder, Piece } from './packets.js';
import type { PcmChunk } from './sound.js';

/** Packets handed over before waiting for sound. */
const AHEAD = 64;
/** A decoder that fails is made anew; a stream on which it fails so often is given up. */
const MAX_FAILURES = 200;

/** The browser's own decoder, for AAC and what else it knows; undefined where there is none (Node) or it cannot. */
export async function browserPackets(config: AudioDecoderConfig): Promise<PacketDecoder | undefined> {
  if (typeof AudioDecoder === 'undefined') return undefined;
  const { supported } = await AudioDecoder.isConfigSupported(config).catch(() => ({ supported: false }));
  return supported ? new BrowserDecoder(config) : undefined;
}

class BrowserDecoder implements PacketDecoder {
  readonly #config: AudioDecoderConfig;
  #decoder: AudioDecoder;
  /** Packets not handed over yet, and those handed over of which nothing has come back. */
  #waiting: Uint8Array[] = [];
  #under: Uint8Array[] = [];
  #got: PcmChunk[] = [];
  #last: PcmChunk | undefined;
  #failures = 0;
  #errors = 0;
  #sent = 0;
  #wake: () => void = () => undefined;

  constructor(config: AudioDecoderConfig) {
    this.#config = config;
    this.#decoder = this.#make();
  }

  async decode(packets: readonly Uint8Array[]): Promise<Piece> {
    this.#waiting.push(...packets);
    await this.#handOver();
    return this.#take();
  }

  async finish(): Promise<Piece> {
    do {
      await this.#handOver();
      // A failure comes through the error callback as well, and leaves packets to hand over again.
      if (this.#decoder.state === 'configured') await this.#decoder.flush().catch(() => undefined);
    } while (this.#waiting.length > 0);
    return this.#take();
  }

  async #handOver(): Promise<void> {
    for (let data = this.#waiting.shift(); data; data = this.#waiting.shift()) {
      if (this.#failures > MAX_FAILURES)
        throw new Error(`web-codecs: the browser's decoder failed ${this.#failures} times`);
      if (this.#decoder.state === 'closed') this.#decoder = this.#make();
      this.#under.push(data);
      // Every packet is decoded whatever its time, so the time only has to ascend.
      this.#decoder.decode(new EncodedAudioChunk({ type: 'key', timestamp: 20_000 * this.#sent++, data }));
      while (this.#decoder.state === 'configured' && this.#decoder.decodeQueueSize > AHEAD)
        await new Promise<void>((resolve) => (this.#wake = resolve));
    }
  }

  free(): void {
    if (this.#decoder.state !== 'closed') this.#decoder.close();
  }

  #make(): AudioDecoder {
    const decoder = new AudioDecoder({
      output: (audio) => {
        this.#under.shift();
        this.#last = planar(audio);
        this.#got.push(this.#last);
        audio.close();
        this.#wake();
      },
      error: () => {
        // The packet that failed becomes silence, so that what follows keeps its time; the rest goes to a new decoder.
        this.#failures++;
        this.#errors++;
        this.#under.shift();
        if (this.#last)
          this.#got.push({ ...this.#last, channels: this.#last.channels.map((x) => new Float32Array(x.length)) });
        this.#waiting.unshift(...this.#under.splice(0));
        this.#wake();
      },
    });
    decoder.ondequeue = () => this.#wake();
    decoder.configure(this.#config);
    return decoder;
  }

  #take(): Piece {
    const errors = this.#errors;
    this.#errors = 0;
    const got = this.#got.splice(0);
    const like = got[0];
    if (!like) return { errors };
    // Pieces of another rate or number of channels than the first are a decoder's start on a damaged place.
    const alike = got.filter(
      (chunk) => chunk.sampleRate === like.sampleRate && chunk.channels.length === like.channels.length,
    );
    const length = alike.reduce((sum, chunk) => sum + chunk.channels[0]!.length, 0);
    const channels = like.channels.map(() => new Float32Array(length));
    let at = 0;
    for (const chunk of alike) {
      chunk.channels.forEach((channel, c) => channels[c]!.set(channel, at));
      at += chunk.channels[0]!.length;
    }
    return { pcm: { ...like, channels }, errors };
  }
}

function planar(audio: AudioData): PcmChunk {
  const channels = Array.from({ length: audio.numberOfChannels }, (_, planeIndex) => {
    const channel = new Float32Array(audio.numberOfFrames);
    audio.copyTo(channel, { planeIndex, format: 'f32-planar' });
    return channel;
  });
  return { sampleRate: audio.sampleRate, channels, order: 'wave' };
}
