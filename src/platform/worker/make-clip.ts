import { msg, str } from '@lit/localize';
import {
  AudioSample,
  AudioSampleSource,
  BufferTarget,
  CanvasSource,
  canEncodeAudio,
  canEncodeVideo,
  Mp4OutputFormat,
  Output,
  WebMOutputFormat,
} from 'mediabunny';
import type { PackedSound } from '../../dsp/packed-sound.js';
import type { Instantiate } from '../../dsp/stretch.js';
import { CLIP_SIZES } from '../../export/clip/clip-marks.js';
import { clipLength, clipScenes } from '../../export/clip/clip-scene.js';
import { renderTrack, type TrackBlock } from '../../export/practice-track.js';
import type { ClipFormat, ClipJob } from '../../app/kit/ports.js';
import { drawClip } from './draw-clip.js';

/** Frames a second: of every video site and every phone. */
export const FRAME_RATE = 30;
/** Bits a second: letters on an even ground need few. */
const VIDEO_BITS = 1_500_000;
const AUDIO_BITS = 160_000;

const CODECS = { webm: { video: 'vp9', audio: 'opus' }, mp4: { video: 'avc', audio: 'aac' } } as const;

/** Why a clip cannot be made here, in a sentence; undefined when it can. */
export async function clipFault(format: ClipFormat, { shape }: Pick<ClipJob, 'shape'>): Promise<string | undefined> {
  const { video, audio } = CODECS[format];
  const [name, other] = format === 'mp4' ? ['MP4', 'WebM'] : ['WebM', msg('another browser')];
  if (typeof VideoEncoder === 'undefined' || typeof OffscreenCanvas === 'undefined')
    return msg('This browser cannot make videos. Take a newer one, or the captions beside a video of your own.');
  if (!(await canEncodeVideo(video, { ...CLIP_SIZES[shape], bitrate: VIDEO_BITS })))
    return msg(str`This browser cannot write pictures for ${name}. Choose ${other}.`);
  if (!(await canEncodeAudio(audio, { numberOfChannels: 2, sampleRate: 48_000, bitrate: AUDIO_BITS })))
    return msg(str`This browser cannot write sound for ${name}. Choose ${other}.`);
  return undefined;
}

export interface ClipMaking {
  readonly instantiate: Instantiate;
  readonly report: (done: number) => void;
}

/**
 * The clip of a plan as a video file, picture and sound in step: frame n shows what sounds at n / 30 s. With `pcm` it has the
 * plan's sound. Throws where the browser cannot write it (clipFault says why).
 */
export async function makeClip(
  job: ClipJob,
  pcm: PackedSound | undefined,
  { instantiate, report }: ClipMaking,
): Promise<Blob> {
  const fault = await clipFault(job.format, job);
  if (fault) throw new Error(fault);
  const { width, height } = CLIP_SIZES[job.shape];
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext('2d', { alpha: false });
  if (!context) throw new Error(msg('This browser gives no canvas to draw on. Close other pages and try again.'));
  const codecs = CODECS[job.format];
  const target = new BufferTarget();
  const output = new Output({ format: job.format === 'mp4' ? new Mp4OutputFormat() : new WebMOutputFormat(), target });
  const pictures = new CanvasSource(canvas, { codec: codecs.video, bitrate: VIDEO_BITS, keyFrameInterval: 2 });
  output.addVideoTrack(pictures, { frameRate: FRAME_RATE });
  const sounds = pcm && new AudioSampleSource({ codec: codecs.audio, bitrate: AUDIO_BITS });
  if (sounds) output.addAudioTrack(sounds);
  await output.start();
  const scenes = clipScenes(job.map, job.plan);
  const length = clipLength(job.map, job.plan);
  const frames = Math.max(1, Math.ceil(length * FRAME_RATE));
  const blocks = pcm && renderTrack(pcm, job.plan, instantiate, job.options);
  let sounded = 0;
  let drawn = '';
  for (let frame = 0; frame < frames; frame++) {
    const time = frame / FRAME_RATE;
    // The sound is always ahead of the picture, so that neither waits for the other in memory.
    while (blocks && sounds && pcm && sounded <= time) {
      const { value, done } = blocks.next();
      if (done) sounded = Infinity;
      else sounded += await addSound(sounds, value, pcm.sampleRate, sounded);
    }
    const scene = scenes(time);
    if (scene.key !== drawn) drawClip(context, scene, job.shape, job.background);
    drawn = scene.key;
    await pictures.add(time, 1 / FRAME_RATE);
    report((frame + 1) / frames);
  }
  await output.finalize();
  if (!target.buffer) throw new Error(msg('Nothing was written. Try again, or choose the other format.'));
  return new Blob([target.buffer], { type: job.format === 'mp4' ? 'video/mp4' : 'video/webm' });
}

/** Adds a block at its time and returns how long it lasts, in seconds. */
async function addSound(sounds: AudioSampleSource, block: TrackBlock, sampleRate: number, at: number): Promise<number> {
  const { left, right, frames } = block;
  const data = new Float32Array(2 * frames);
  data.set(left.subarray(0, frames));
  data.set(right.subarray(0, frames), frames);
  const sample = new AudioSample({ data, format: 'f32-planar', numberOfChannels: 2, sampleRate, timestamp: at });
  await sounds.add(sample);
  sample.close();
  return frames / sampleRate;
}
