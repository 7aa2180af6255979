/** Sound of 16 bits as it lies in a WAV file. */
export interface Pcm {
  readonly rate: number;
  readonly channels: number;
  /** Channels in turn, frame by frame. */
  readonly samples: Int16Array;
}

/** Reads a WAV file of 16-bit samples; throws TypeError for any other. */
export function readWav(bytes: Buffer): Pcm {
  let [at, rate, channels] = [12, 0, 0];
  if (bytes.toString('latin1', 0, 4) !== 'RIFF') throw new TypeError('readWav: found no WAV file');
  while (at + 8 <= bytes.length) {
    const id = bytes.toString('latin1', at, at + 4);
    const size = bytes.readUInt32LE(at + 4);
    const body = at + 8;
    if (id === 'fmt ') {
      const [coding, bits] = [bytes.readUInt16LE(body), bytes.readUInt16LE(body + 14)];
      if (coding !== 1 || bits !== 16)
        throw new TypeError(`readWav: found ${bits} bits of coding ${coding}, not 16 of 1`);
      channels = bytes.readUInt16LE(body + 2);
      rate = bytes.readUInt32LE(body + 4);
    }
    if (id === 'data') {
      const count = Math.floor(Math.min(size, bytes.length - body) / 2);
      const samples = new Int16Array(count);
      for (let i = 0; i < count; i++) samples[i] = bytes.readInt16LE(body + 2 * i);
      return { rate, channels, samples };
    }
    at = body + size + (size & 1);
  }
  throw new TypeError('readWav: found no samples');
}

/** The same as a file. */
export function writeWav({ rate, channels, samples }: Pcm): Buffer {
  const file = Buffer.alloc(44 + 2 * samples.length);
  file.write('RIFF', 0, 'latin1');
  file.writeUInt32LE(36 + 2 * samples.length, 4);
  file.write('WAVEfmt ', 8, 'latin1');
  file.writeUInt32LE(16, 16);
  file.writeUInt16LE(1, 20);
  file.writeUInt16LE(channels, 22);
  file.writeUInt32LE(rate, 24);
  file.writeUInt32LE(2 * rate * channels, 28);
  file.writeUInt16LE(2 * channels, 32);
  file.writeUInt16LE(16, 34);
  file.write('data', 36, 'latin1');
  file.writeUInt32LE(2 * samples.length, 40);
  for (let i = 0; i < samples.length; i++) file.writeInt16LE(samples[i] as number, 44 + 2 * i);
  return file;
}
