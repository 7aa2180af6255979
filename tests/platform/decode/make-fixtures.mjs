// Makes the files in fixtures/: the clicks of signals.ts in every format, by ffmpeg (with libmp3lame, libopus, libvorbis,
// libvpx). Run it with `node tests/platform/decode/make-fixtures.mjs`; the files are committed, so tests need no ffmpeg.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const TIMES = [1, 2.25, 3.5, 4.75];
const SECONDS = 5.5;
const out = join(import.meta.dirname, 'fixtures');
const work = mkdtempSync(join(tmpdir(), 'fixtures-'));

/** The same sound as `clicks` in signals.ts; channel c is the signal times its gain. 32-bit float WAV. */
function source(rate, gains, seconds = SECONDS) {
  const frames = Math.round(rate * seconds);
  const data = new Float32Array(frames * gains.length);
  for (const time of TIMES) {
    const start = Math.round(time * rate);
    for (let i = start; i < Math.min(frames, start + 0.05 * rate); i++) {
      const t = i / rate - time;
      const x = 0.8 * Math.cos(2 * Math.PI * 3000 * t) * Math.exp(-t / 0.002);
      gains.forEach((gain, c) => (data[i * gains.length + c] = gain * x));
    }
  }
  const head = Buffer.alloc(44);
  head.write('RIFF', 0);
  head.writeUInt32LE(36 + data.byteLength, 4);
  head.write('WAVEfmt ', 8);
  head.writeUInt32LE(16, 16);
  head.writeUInt16LE(3, 20);
  head.writeUInt16LE(gains.length, 22);
  head.writeUInt32LE(rate, 24);
  head.writeUInt32LE(rate * gains.length * 4, 28);
  head.writeUInt16LE(gains.length * 4, 32);
  head.writeUInt16LE(32, 34);
  head.write('data', 36);
  head.writeUInt32LE(data.byteLength, 40);
  const path = join(work, `${rate}-${gains.join('_')}-${seconds}.wav`);
  writeFileSync(path, Buffer.concat([head, Buffer.from(data.buffer)]));
  return path;
}

function make(name, input, ...args) {
  const exact = ['-fflags', '+bitexact', '-flags', '+bitexact', '-map_metadata', '-1'];
  execFileSync('ffmpeg', ['-loglevel', 'error', '-y', '-i', input, ...args, ...exact, join(out, name)]);
}

const mono = source(44100, [1]);
const stereo = source(44100, [1, 0.5]);
const six = [0.5, 0.5, 1, 1, 0.25, 0.25];
const picture = ['-f', 'lavfi', '-i', `color=c=gray:s=16x16:r=5:d=${SECONDS}`, '-map', '1:v', '-map', '0:a'];

make('mono.mp3', mono, '-c:a', 'libmp3lame', '-b:a', '48k');
make('vbr.mp3', stereo, '-c:a', 'libmp3lame', '-q:a', '5');
make('headerless.mp3', mono, '-c:a', 'libmp3lame', '-b:a', '48k', '-write_xing', '0', '-id3v2_version', '0');
make('8k.mp3', source(8000, [1]), '-c:a', 'libmp3lame', '-b:a', '16k');
make('layer2.mp2', mono, '-c:a', 'mp2', '-b:a', '48k');
make('stereo.flac', stereo, '-c:a', 'flac');
make('six-channels-192k.flac', source(192000, six), '-c:a', 'flac', '-sample_fmt', 's16');
make('flac.oga', mono, '-c:a', 'flac', '-f', 'ogg');
make('stereo.ogg', stereo, '-c:a', 'libvorbis', '-q:a', '0');
make('8k.ogg', source(8000, [1]), '-c:a', 'libvorbis', '-q:a', '0');
make('six-channels.ogg', source(48000, six), '-c:a', 'libvorbis', '-q:a', '0');
make('stereo.opus', stereo, '-c:a', 'libopus', '-b:a', '48k');
make('six-channels.opus', source(48000, six), '-c:a', 'libopus', '-b:a', '96k', '-mapping_family', '1');
make('stereo.m4a', stereo, '-c:a', 'aac', '-b:a', '48k');
make('48k.m4a', source(48000, [1]), '-c:a', 'aac', '-b:a', '32k', '-movflags', '+faststart');
make('opus.mp4', mono, '-c:a', 'libopus', '-b:a', '32k');
make('flac.mp4', mono, '-c:a', 'flac', '-strict', '-2');
make('bare.aac', mono, '-c:a', 'aac', '-b:a', '32k');
make('video.mp4', stereo, ...picture, '-c:v', 'mpeg4', '-b:v', '10k', '-c:a', 'aac', '-b:a', '48k');
make('video.webm', stereo, ...picture, '-c:v', 'libvpx', '-b:v', '10k', '-c:a', 'libopus', '-b:a', '48k');
make('vorbis.webm', stereo, '-c:a', 'libvorbis', '-q:a', '0');
make('mp3.mka', mono, '-c:a', 'libmp3lame', '-b:a', '48k');
make('fragmented.mp4', mono, '-c:a', 'aac', '-b:a', '32k', '-movflags', 'frag_keyframe+delay_moov');
make('pcm.mov', source(8000, [1]), '-c:a', 'pcm_alaw');
make('lossless.m4a', source(44100, [1], 0.2), '-c:a', 'alac');
make('short.mp3', source(44100, [1], 2), '-c:a', 'libmp3lame', '-b:a', '48k');
make('silent.flac', source(44100, [0]), '-c:a', 'flac');
execFileSync('ffmpeg', [
  ...['-loglevel', 'error', '-y', '-f', 'lavfi', '-i', 'color=c=gray:s=16x16:r=5:d=6', '-c:v', 'mpeg4'],
  ...['-fflags', '+bitexact', join(out, 'no-sound.mp4')],
]);
rmSync(work, { recursive: true });
