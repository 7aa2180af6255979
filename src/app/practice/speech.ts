import { unpacked } from '../../dsp/packed-sound.js';
import type { Speech } from '../../dsp/speech.js';
import type { Ports } from '../kit/ports.js';

/** Reads the spoken words once, when they are first wanted; rejects, and tries anew the next time, when that fails. */
export function speechReader({ files, decoder }: Pick<Ports, 'files' | 'decoder'>): () => Promise<Speech> {
  let reading: Promise<Speech> | undefined;
  const read = async (): Promise<Speech> => {
    const { pcm } = await decoder.decode(await files.speech(), 'words.ogg', { soundOnly: true });
    return { samples: unpacked(pcm), sampleRate: pcm.sampleRate };
  };
  return () =>
    (reading ??= read().catch((error: unknown) => {
      reading = undefined;
      throw error;
    }));
}
