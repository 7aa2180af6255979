import { msg, str } from '@lit/localize';
import { FLACDecoder } from '@wasm-audio-decoders/flac';
import { OggVorbisDecoder } from '@wasm-audio-decoders/ogg-vorbis';
import { MPEGDecoder } from 'mpg123-decoder';
import { OpusDecoder } from 'opus-decoder';
import { flacChunk } from './flac.js';
import { decodeMpeg } from './mpeg.js';
import { deinterleave, type PcmLayout } from './pcm-bytes.js';
import { RecordingProblem } from './problem.js';
import { quiet } from './quiet.js';
import type { PcmChunk } from './sound.js';
import { ascii, viewOf } from './source.js';

export interface Piece {
  readonly pcm?: PcmChunk;
  readonly errors: number;
}

/** Decodes the packets of a stream that its container has taken apart. */
export interface PacketDecoder {
  /** Decodes packets in order. `errors`: packets that could not be decoded. */
  decode(packets: readonly Uint8Array[]): Promise<Piece>;
  /** What is still held back after the last packet. */
  finish?(): Promise<Piece>;
  free(): void;
}

export interface OpusHead {
  readonly channels: number;
  /** Samples at 48 kHz to leave out at the start. */
  readonly preSkip: number;
  /** Linear. */
  readonly gain: number;
  readonly family: number;
  readonly streams: number;
  readonly coupled: number;
  readonly mapping: readonly number[];
}

/** The identification header of Opus (RFC 7845, 5.1); undefined when the bytes are not one. */
export function opusHead(packet: Uint8Array): OpusHead | undefined {
  if (packet.length < 19 || ascii(packet, 0, 8) !== 'OpusHead' || packet[8]! > 15) return undefined;
  const view = viewOf(packet);
  const channels = packet[9]!;
  const family = packet[18]!;
  const gain = 10 ** (view.getInt16(16, true) / (20 * 256));
  const common = { channels, preSkip: view.getUint16(10, true), gain, family };
  if (channels === 0) return undefined;
  if (family === 0) {
    if (channels > 2) return undefined;
    return { ...common, streams: 1, coupled: channels - 1, mapping: channels === 2 ? [0, 1] : [0] };
  }
  const mapping = [...packet.subarray(21, 21 + channels)];
  const [streams, coupled] = [packet[19]!, packet[20]!];
  const known = mapping.every((index) => index === 255 || index < streams + coupled);
  if (mapping.length < channels || streams === 0 || coupled > streams || !known) return undefined;
  return { ...common, streams, coupled, mapping };
}

/** Samples at 48 kHz in an Opus packet (RFC 6716, 3.1); 0 for an impossible one. */
export function opusDuration(packet: Uint8Array): number {
  if (packet.length === 0) return 0;
  const config = packet[0]! >> 3;
  const frame =
    config < 12 ? [480, 960, 1920, 2880][config & 3]! : config < 16 ? [480, 960][config & 1]! : 120 << (config & 3);
  const code = packet[0]! & 3;
  const frames = code === 0 ? 1 : code < 3 ? 2 : (packet[1] ?? 0) & 63;
  return frame * frames <= 5760 ? frame * frames : 0;
}

/** Opus packets to 48 kHz, nothing left out at the start. A packet that fails becomes silence of its length. */
export async function opusPackets(head: OpusHead): Promise<PacketDecoder> {
  const make = async () => {
    const decoder = new OpusDecoder({
      channels: head.channels,
      streamCount: head.streams,
      coupledStreamCount: head.coupled,
      channelMappingTable: [...head.mapping],
    });
    await decoder.ready;
    return decoder;
  };
  let decoder = await make();
  const order = head.family === 1 || head.channels <= 2 ? 'vorbis' : 'unknown';
  return {
    decode: async (packets) => {
      const length = packets.reduce((sum, packet) => sum + opusDuration(packet), 0);
      const channels = Array.from({ length: head.channels }, () => new Float32Array(length));
      let at = 0;
      let errors = 0;
      for (const packet of packets) {
        const samples = opusDuration(packet);
        try {
          const audio = quiet(() => decoder.decodeFrame(packet));
          if (audio.samplesDecoded === samples)
            channels.forEach((channel, c) => channel.set(audio.channelData[c]!, at));
          else errors++;
        } catch {
          // A damaged packet can leave the WebAssembly memory in any state.
          errors++;
          decoder = await make();
        }
        at += samples;
      }
      if (head.gain !== 1)
        for (const channel of channels) for (let i = 0; i < length; i++) channel[i] = channel[i]! * head.gain;
      return { pcm: length > 0 ? { sampleRate: 48000, channels, order } : undefined, errors };
    },
    free: () => decoder.free(),
  };
}

export interface VorbisHead {
  readonly channels: number;
  readonly sampleRate: number;
}

/** The identification header of Vorbis (Vorbis I, 4.2.2); undefined when the bytes are not one. */
export function vorbisHead(packet: Uint8Array): VorbisHead | undefined {
  if (packet.length < 30 || packet[0] !== 1 || ascii(packet, 1, 6) !== 'vorbis') return undefined;
  const channels = packet[11]!;
  const sampleRate = viewOf(packet).getUint32(12, true);
  return channels > 0 && sampleRate > 0 ? { channels, sampleRate } : undefined;
}

type VorbisPages = Parameters<OggVorbisDecoder['decodeOggPages']>[0];

/** Vorbis packets after the three header packets, of which it takes the first and the third. */
export async function vorbisPackets(identification: Uint8Array, setup: Uint8Array): Promise<PacketDecoder> {
  const head = vorbisHead(identification);
  if (!head || setup[0] !== 5) throw damagedHeader('Vorbis');
  const decoder = new OggVorbisDecoder();
  await decoder.ready;
  await decoder.decodeOggPages([{ data: identification, codecFrames: [] }] as unknown as VorbisPages);
  return {
    decode: async (packets) => {
      // What the decoder reads of a page: each packet, and the setup before the first.
      const frames = packets
        .filter((packet) => packet.length > 0)
        .map((data) => ({ data, header: { vorbisSetup: setup } }));
      const page = { data: new Uint8Array(1), codecFrames: frames } as unknown as VorbisPages[number];
      const audio = await decoder.decodeOggPages([page]);
      const errors = audio.errors.length;
      if (audio.samplesDecoded === 0) return { errors };
      return { pcm: { sampleRate: head.sampleRate, channels: audio.channelData, order: 'vorbis' }, errors };
    },
    free: () => decoder.free(),
  };
}

export async function flacPackets(): Promise<PacketDecoder> {
  const decoder = new FLACDecoder();
  await decoder.ready;
  return {
    decode: async (packets) => flacChunk(await quiet(() => decoder.decodeFrames([...packets]))),
    free: () => decoder.free(),
  };
}

export async function mpegPackets(channels: number): Promise<PacketDecoder> {
  const decoder = new MPEGDecoder();
  await decoder.ready;
  return {
    decode: (packets) => {
      const whole = new Uint8Array(packets.reduce((sum, packet) => sum + packet.length, 0));
      let at = 0;
      for (const packet of packets) {
        whole.set(packet, at);
        at += packet.length;
      }
      return Promise.resolve(decodeMpeg(decoder, whole, channels));
    },
    free: () => decoder.free(),
  };
}

export function pcmPackets(layout: PcmLayout, sampleRate: number): PacketDecoder {
  return {
    decode: (packets) => {
      const channels = packets.map((packet) => deinterleave(packet, layout));
      const length = channels.reduce((sum, packet) => sum + packet[0]!.length, 0);
      const whole = Array.from({ length: layout.channels }, () => new Float32Array(length));
      let at = 0;
      for (const packet of channels) {
        packet.forEach((samples, c) => whole[c]!.set(samples, at));
        at += packet[0]!.length;
      }
      return Promise.resolve({
        pcm: length > 0 ? { sampleRate, channels: whole, order: 'wave' } : undefined,
        errors: 0,
      });
    },
    free: () => undefined,
  };
}

export function damagedHeader(format: string): RecordingProblem {
  return new RecordingProblem(
    'broken',
    msg(str`The header of this ${format} recording is damaged or breaks off. Copy or download the file again.`),
  );
}
