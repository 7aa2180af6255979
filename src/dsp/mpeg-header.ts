/** One frame's header of MPEG-1, 2 and 2.5 audio, layers I to III (ISO/IEC 11172-3, 13818-3). */
export interface MpegHeader {
  readonly layer: 1 | 2 | 3;
  /** 1, 2 or 2.5. */
  readonly version: number;
  readonly sampleRate: number;
  readonly channels: 1 | 2;
  /** Bits a second. */
  readonly bitrate: number;
  /** Bytes of the frame, its header included. */
  readonly size: number;
  /** Samples a channel in the frame. */
  readonly samples: number;
}

// Kilobits a second by bitrate index 1 to 14; ISO/IEC 11172-3 table of 2.4.2.3 and ISO/IEC 13818-3.
const RATES_V1 = {
  1: [32, 64, 96, 128, 160, 192, 224, 256, 288, 320, 352, 384, 416, 448],
  2: [32, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320, 384],
  3: [32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320],
} as const;
const RATES_V2 = {
  1: [32, 48, 56, 64, 80, 96, 112, 128, 144, 160, 176, 192, 224, 256],
  2: [8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160],
  3: [8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160],
} as const;
const SAMPLE_RATES = [44100, 48000, 32000] as const;

/** The header at `at`, or undefined when none is there. Free-format frames, which tell no size, count as none. */
export function mpegHeader(bytes: Uint8Array, at: number): MpegHeader | undefined {
  if (at + 4 > bytes.length || bytes[at] !== 0xff || (bytes[at + 1]! & 0xe0) !== 0xe0) return undefined;
  const version = ([2.5, 0, 2, 1] as const)[(bytes[at + 1]! >> 3) & 3]!;
  const layer = ([0, 3, 2, 1] as const)[(bytes[at + 1]! >> 1) & 3]!;
  const rateIndex = (bytes[at + 2]! >> 2) & 3;
  const bitrateIndex = bytes[at + 2]! >> 4;
  if (version === 0 || layer === 0 || rateIndex === 3 || bitrateIndex === 0 || bitrateIndex === 15) return undefined;
  const bitrate = 1000 * (version === 1 ? RATES_V1 : RATES_V2)[layer][bitrateIndex - 1]!;
  const sampleRate = SAMPLE_RATES[rateIndex]! / (version === 1 ? 1 : version === 2 ? 2 : 4);
  const padding = (bytes[at + 2]! >> 1) & 1;
  const samples = layer === 1 ? 384 : layer === 2 || version === 1 ? 1152 : 576;
  const size =
    layer === 1
      ? 4 * (Math.floor((12 * bitrate) / sampleRate) + padding)
      : Math.floor(((samples / 8) * bitrate) / sampleRate) + padding;
  const channels = bytes[at + 3]! >> 6 === 3 ? 1 : 2;
  return { layer, version, sampleRate, channels, bitrate, size, samples };
}

/**
 * Where the first of at least three frames in a row begins (fewer where the bytes end), or undefined. One frame's
 * first bytes turn up by chance in any file.
 */
export function findMpeg(bytes: Uint8Array, complete: boolean): number | undefined {
  for (let start = 0; start + 4 <= bytes.length; start++) {
    if (bytes[start] !== 0xff) continue;
    const first = mpegHeader(bytes, start);
    if (!first) continue;
    let at = start;
    let frames = 0;
    for (let next: MpegHeader | undefined = first; next && frames < 3; next = mpegHeader(bytes, at)) {
      if (next.layer !== first.layer || next.version !== first.version || next.sampleRate !== first.sampleRate) break;
      at += next.size;
      frames++;
    }
    if (frames >= 3 || (complete && frames > 0 && at >= bytes.length - 128 && start === 0)) return start;
  }
  return undefined;
}

export interface VbrHeader {
  /** Samples a channel that the encoder was given, if the header tells them. */
  readonly samples?: number;
}

/** Reads the first frame's Xing, Info or VBRI table, which says how long the recording is; undefined when it has none. */
export function vbrHeader(bytes: Uint8Array, at: number): VbrHeader | undefined {
  const first = mpegHeader(bytes, at);
  if (!first || first.layer !== 3) return undefined;
  const side = first.version === 1 ? (first.channels === 1 ? 17 : 32) : first.channels === 1 ? 9 : 17;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const xing = at + 4 + side;
  if (xing + 144 <= bytes.length && [0x58696e67, 0x496e666f].includes(view.getUint32(xing))) {
    const parts = view.getUint32(xing + 4);
    if (!(parts & 1)) return {};
    const coded = view.getUint32(xing + 8) * first.samples;
    // With all four parts there, encoder delay and padding, 12 bits each, stand 141 bytes on (LAME's extension).
    const gaps = (parts & 15) === 15 ? view.getUint32(xing + 140) & 0xffffff : 0;
    const trimmed = coded - (gaps >> 12) - (gaps & 0xfff);
    return { samples: trimmed > 0 ? trimmed : coded };
  }
  const vbri = at + 4 + 32;
  if (vbri + 18 <= bytes.length && view.getUint32(vbri) === 0x56425249)
    return { samples: view.getUint32(vbri + 14) * first.samples };
  return undefined;
}
