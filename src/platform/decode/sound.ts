/** The order in which a file keeps its loudspeakers: that of WAV, FLAC and AAC, that of Vorbis and Opus, or none known. */
export type ChannelOrder = 'wave' | 'vorbis' | 'unknown';

/** A stretch of decoded sound, the next after the one before it. Its samples stand until the next is asked for. */
export interface PcmChunk {
  readonly sampleRate: number;
  /** At least one channel, all of one length; may hold NaN or values beyond 1. */
  readonly channels: readonly Float32Array[];
  readonly order: ChannelOrder;
}

/** A file whose kind is known and whose header has been read. */
export interface Sound {
  /** As a person names it: "MP3", "AAC in MP4". */
  readonly format: string;
  /** Channels as the file has them. */
  readonly channelCount: number;
  readonly sampleRate: number;
  /** Seconds that the header promises; absent when it does not tell. */
  readonly promised?: number;
  /** Seconds as far as they can be guessed, for progress and for setting memory aside. */
  readonly expected?: number;
  /** Decodes from the start; to be called once. */
  chunks(): AsyncGenerator<PcmChunk>;
  /** What went wrong while decoding, so far. */
  readonly damage: Damage;
}

/** Seconds added to what is expected where padding may come on top, so that nothing has to be copied for it. */
export const SLACK = 0.25;

export interface Damage {
  /** Places that could not be decoded and were left out. */
  places: number;
  /** The file breaks off before the end that it promises. */
  cutOff: boolean;
}
