// Makes the two bundled recordings and their truth: node samples/make/make.mjs [NAME...]. Needs Debian's fluidsynth,
// ffmpeg and musescore-general-soundfont-small; SOUNDFONT names another copy of the sound font.
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { song as kites } from './kites-over-brennick.mjs';
import { midiFile } from './midi.mjs';
import { perform } from './perform.mjs';
import { song as tarn } from './tarn-at-wendlow.mjs';
import { truthOf } from './truth.mjs';

const SAMPLES = join(dirname(fileURLToPath(import.meta.url)), '..');
const FONT = process.env.SOUNDFONT ?? '/usr/share/sounds/sf3/MuseScore_General_Lite.sf3';
const FONT_HASH = '916aaca6b0eb9f9083eb42399614acb2ff4ec72ce28dffff1814592a9696b479';
const RATE = 44100;
const LOUDNESS = -16;
const CEILING = -2.2;
const TAIL = 3.2;

const hash = createHash('sha256').update(readFileSync(FONT)).digest('hex');
if (hash !== FONT_HASH) throw new Error(`${FONT} is not the sound font the samples were made with: SHA-256 ${hash}`);
const wanted = process.argv.slice(2);
for (const song of [kites, tarn]) if (wanted.length === 0 || wanted.includes(song.name)) make(song);

function make(song) {
  const folder = mkdtempSync(join(tmpdir(), 'samples-'));
  const { clock, events } = perform(song);
  const midi = join(folder, 'song.mid');
  const dry = join(folder, 'played.wav');
  const even = join(folder, 'levelled.wav');
  writeFileSync(midi, midiFile(events));
  execFileSync('fluidsynth', [
    ...['-ni', '-q', '-F', dry, '-T', 'wav', '-O', 'float', '-r', String(RATE), '-g', '0.4'],
    ...['-o', 'synth.reverb.room-size=0.55', '-o', 'synth.reverb.damp=0.35', '-o', 'synth.reverb.width=0.9'],
    ...['-o', 'synth.reverb.level=0.55', '-o', 'synth.chorus.active=0', '-o', 'audio.period-size=64'],
    ...[FONT, midi],
  ]);
  const length = clock.end + TAIL;
  const shape = `atrim=end=${length},afade=t=out:st=${clock.end + 0.6}:d=${TAIL - 0.6}`;
  const bed = 'highpass=f=32,acompressor=threshold=-24dB:ratio=1.6:attack=25:release=220';
  const gain = LOUDNESS - loudness(dry, `${shape},${bed}`);
  const limit = `alimiter=limit=${10 ** (CEILING / 20)}:attack=3:release=60:level=disabled:latency=1`;
  ffmpeg(['-i', dry, '-af', `${shape},${bed},volume=${gain}dB,${limit}`, '-c:a', 'pcm_s16le', even]);
  mkdirSync(join(SAMPLES, 'public', 'samples'), { recursive: true });
  const file = `${song.name}.${song.format}`;
  const out = join(SAMPLES, 'public', 'samples', file);
  const codec =
    song.format === 'ogg' ? ['libvorbis', '-q:a', '3'] : ['libmp3lame', '-b:a', '112k', '-joint_stereo', '1'];
  const tags = [
    '-map_metadata',
    '-1',
    '-metadata',
    `title=${song.title}`,
    '-fflags',
    '+bitexact',
    '-flags:a',
    '+bitexact',
  ];
  ffmpeg(['-i', even, '-c:a', codec[0], ...codec.slice(1), ...tags, out]);
  const truth = truthOf({ ...song, file }, clock, song.shift ?? 0, samplesIn(even) / RATE);
  writeFileSync(join(SAMPLES, `${song.name}.jams`), jamsText(truth));
  rmSync(folder, { recursive: true });
  process.stdout.write(
    `${file}: ${truth.file_metadata.duration} s, ${clock.bars.length} bars, gain ${gain.toFixed(1)} dB\n`,
  );
}

function ffmpeg(args) {
  return execFileSync('ffmpeg', ['-nostdin', '-hide_banner', '-loglevel', 'error', '-y', ...args]);
}

/** Integrated loudness in LUFS (EBU R 128). */
function loudness(file, filters) {
  const args = ['-nostdin', '-hide_banner', '-i', file, '-af', `${filters},ebur128`, '-f', 'null', '-'];
  const text = execFileSync('sh', ['-c', 'ffmpeg "$@" 2>&1', 'sh', ...args], { encoding: 'utf8', maxBuffer: 1e9 });
  return Number(/Integrated loudness:\s*I:\s*(-?[\d.]+) LUFS/.exec(text)[1]);
}

function samplesIn(wav) {
  const text = execFileSync('ffprobe', ['-v', 'error', '-show_entries', 'stream=duration_ts', '-of', 'csv=p=0', wav]);
  return Number(text.toString());
}

/** One observation a line, so that changes can be read. */
function jamsText(jams) {
  const { annotations, ...rest } = jams;
  const lines = annotations.map(({ data, ...annotation }) => {
    const head = JSON.stringify(annotation).slice(0, -1);
    return `${head},"data":[\n${data.map((one) => JSON.stringify(one)).join(',\n')}\n]}`;
  });
  return `${JSON.stringify(rest).slice(0, -1)},"annotations":[\n${lines.join(',\n')}\n]}\n`;
}
