import { spawn } from 'node:child_process';
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { MadeSong } from './compose.js';
import { dice } from './dice.js';

// Node finds no named exports in this package's CommonJS.
const { Midi } = createRequire(import.meta.url)('@tonejs/midi') as typeof import('@tonejs/midi');

/** Debian's timgm6mb-soundfont (GPL-2) and csound-soundfont (LGPL-2.1+); neither is a relative of the one the other bench is played with. */
export const FONTS = ['/usr/share/sounds/sf2/TimGM6mb.sf2', '/usr/share/sounds/sf2/sf_GMbank.sf2'] as const;

const TICKS = 480;
/** Two semitones, the usual range of a pitch bend (General MIDI 1). */
const BEND_CENTS = 200;

/** The song as a Standard MIDI File at 120 quarters a minute: a second is 960 ticks. */
export function midiBytes(song: MadeSong): Uint8Array {
  const midi = new Midi();
  const channels = [...new Set(song.notes.map((note) => note.channel))];
  for (const channel of channels) {
    const track = midi.addTrack();
    track.channel = channel;
    track.instrument.number = song.programs.get(channel) ?? 0;
    if (channel !== 9 && song.cents !== 0) track.addPitchBend({ time: 0, value: song.cents / BEND_CENTS });
    for (const note of song.notes) {
      if (note.channel !== channel) continue;
      track.addNote({
        midi: note.pitch,
        ticks: Math.round(note.time * 2 * TICKS),
        durationTicks: Math.max(1, Math.round(note.duration * 2 * TICKS)),
        velocity: note.velocity / 127,
      });
    }
  }
  return midi.toArray();
}

/** Plays a song into a 16-bit WAV; throws with words for the user when the player or the sounds are not there. */
export async function renderSong(song: MadeSong, path: string, rate = 44100): Promise<void> {
  const fonts = FONTS.filter((font) => existsSync(font));
  if (fonts.length === 0)
    throw new TypeError('no sounds to play with: on Debian, apt install timgm6mb-soundfont csound-soundfont');
  const font = fonts[song.truth.seed % fonts.length] as string;
  const mid = `${path}.mid`;
  writeFileSync(mid, midiBytes(song));
  const reverb = song.reverb > 0 ? ['-R', '1', '-o', `synth.reverb.level=${song.reverb.toFixed(2)}`] : ['-R', '0'];
  try {
    await run('fluidsynth', ['-niq', '-C', '0', ...reverb, '-g', '0.5', '-r', String(rate), '-F', path, font, mid]);
  } finally {
    rmSync(mid, { force: true });
  }
  finish(song, path, rate);
}

/** Lays noise over the unclear passes, evens the level and cuts the file to the song's length. */
function finish(song: MadeSong, path: string, rate: number): void {
  const bytes = readFileSync(path);
  let at = 12;
  while (bytes.toString('latin1', at, at + 4) !== 'data') at += 8 + bytes.readUInt32LE(at + 4);
  const frames = Math.ceil(song.truth.duration * rate);
  const samples = new Float32Array(frames * 2);
  const count = Math.min(samples.length, (bytes.length - at - 8) >> 1);
  let power = 0;
  for (let i = 0; i < count; i++) {
    const value = bytes.readInt16LE(at + 8 + 2 * i) / 32768;
    samples[i] = value;
    power += value * value;
  }
  const level = Math.sqrt(power / Math.max(1, count));
  if (!(level > 1e-4)) throw new TypeError(`${path}: the player wrote silence`);
  const d = dice(song.truth.seed + 1);
  for (const [from, to] of song.noise) {
    // Pink by the cascade of Kellet's economy filter (public domain, from memory), about 4 dB below the music.
    const state = [0, 0, 0];
    const gain = level * 0.6 * 0.55;
    for (let i = Math.round(from * rate); i < Math.min(frames, to * rate); i++) {
      const white = 2 * d.next() - 1;
      state[0] = 0.99765 * (state[0] as number) + white * 0.099046;
      state[1] = 0.963 * (state[1] as number) + white * 0.2965164;
      state[2] = 0.57 * (state[2] as number) + white * 1.0526913;
      const pink = (state[0] as number) + (state[1] as number) + (state[2] as number) + white * 0.1848;
      for (const side of [0, 1]) samples[2 * i + side] = (samples[2 * i + side] as number) + gain * pink;
    }
  }
  let peak = 0;
  for (const value of samples) peak = Math.max(peak, Math.abs(value));
  const scale = Math.min(0.12 / level, 0.98 / peak);
  const out = Buffer.alloc(44 + samples.length * 2);
  out.write('RIFF', 0, 'latin1');
  out.writeUInt32LE(36 + samples.length * 2, 4);
  out.write('WAVEfmt ', 8, 'latin1');
  out.writeUInt32LE(16, 16);
  out.writeUInt16LE(1, 20);
  out.writeUInt16LE(2, 22);
  out.writeUInt32LE(rate, 24);
  out.writeUInt32LE(rate * 4, 28);
  out.writeUInt16LE(4, 32);
  out.writeUInt16LE(16, 34);
  out.write('data', 36, 'latin1');
  out.writeUInt32LE(samples.length * 2, 40);
  samples.forEach((value, i) => out.writeInt16LE(Math.round(32767 * value * scale), 44 + 2 * i));
  writeFileSync(path, out);
}

function run(command: string, words: readonly string[]): Promise<void> {
  return new Promise((resolve, reject) => {
    const child = spawn(command, words, { stdio: ['ignore', 'ignore', 'ignore'] });
    child.on('error', () => reject(new TypeError(`${command} cannot be run: on Debian, apt install ${command}`)));
    child.on('close', (code) => (code === 0 ? resolve() : reject(new TypeError(`${command} ended with ${code}`))));
  });
}
