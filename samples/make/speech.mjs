// node samples/make/speech.mjs: speaks the words of counts and chords with espeak-ng (Debian) into one small file, and says
// where each lies in it. Needs espeak-ng and ffmpeg; what it made is committed, so nobody else does.
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const TOP = join(dirname(fileURLToPath(import.meta.url)), '../..');
/** Word to what is spoken: text, or phonemes in brackets, because a lone letter may be read as an article. */
const WORDS = {
  1: 'one', 2: 'two', 3: 'three', 4: 'four', 5: 'five', 6: 'six', 7: 'seven', 8: 'eight', 9: 'nine', 10: 'ten',
  11: 'eleven', 12: 'twelve', 13: 'thirteen',
  A: '[[eI]]', B: '[[bi:]]', C: '[[si:]]', D: '[[di:]]', E: '[[i:]]', F: '[[Ef]]', G: '[[dZi:]]',
  flat: 'flat', sharp: 'sharp', major: 'major', minor: 'minor', diminished: 'diminished', augmented: 'augmented',
  half: 'half', sus: '[[sVs]]', add: 'add', rest: 'rest',
}; // prettier-ignore
const RATE = 22050;
/** Seconds kept before the vowel: little of a number, so that it falls on its beat by its vowel; and silence between words. */
const LEAD = 0.06;
const WHOLE = 0.2;
const GAP = 0.12;

const spoken = Object.entries(WORDS).map(([word, text]) => [
  word,
  trimmed(speak(text), /^\d+$/.test(word) ? LEAD : WHOLE),
]);
const index = {};
const parts = [new Float32Array(RATE * GAP)];
let at = parts[0].length;
for (const [word, samples] of spoken) {
  index[word] = [at / RATE, samples.length / RATE].map((x) => Math.round(x * 1e4) / 1e4);
  parts.push(samples, new Float32Array(RATE * GAP));
  at += samples.length + RATE * GAP;
}
const all = Float32Array.from(parts.flatMap((part) => [...part]));
execFileSync(
  'ffmpeg',
  ['-v', 'error', '-y', '-f', 'f32le', '-ar', RATE, '-ac', '1', '-i', '-', '-c:a', 'libvorbis', '-q:a', '2',
    '-map_metadata', '-1', '-fflags', '+bitexact', '-flags:a', '+bitexact',
    join(TOP, 'samples/public/speech/words.ogg')].map(String), // prettier-ignore
  { input: Buffer.from(all.buffer) },
);
writeFileSync(
  join(TOP, 'src/dsp/spoken-words.ts'),
  `/** Where each word lies in samples/public/speech/words.ogg: start and length in seconds. Made by samples/make/speech.mjs. */
export const SPOKEN_WORDS: Readonly<Record<string, readonly [start: number, length: number]>> = {
${Object.entries(index)
  .map(([word, place]) => `  ${/^\d|[A-Za-z]+$/.test(word) ? word : JSON.stringify(word)}: [${place.join(', ')}],`)
  .join('\n')}
};
`,
);

function speak(text) {
  const wav = execFileSync('espeak-ng', ['-v', 'en-gb', '-s', '185', '-p', '42', '-a', '180', '--stdout', text]);
  return new Float32Array(
    execFileSync('ffmpeg', ['-v', 'error', '-i', '-', '-f', 'f32le', '-ar', String(RATE), '-ac', '1', '-'], {
      input: wav,
    }).buffer.slice(0),
  );
}

/** From a little before the vowel to the end of the word, peak 0.9, with soft edges. */
function trimmed(samples, lead) {
  const peak = Math.max(...samples.map(Math.abs));
  const step = Math.round(0.005 * RATE);
  const loud = [];
  for (let i = 0; i + step <= samples.length; i += step) {
    const part = samples.subarray(i, i + step);
    loud.push(Math.sqrt(part.reduce((sum, x) => sum + x * x, 0) / step));
  }
  const top = Math.max(...loud);
  const vowel = loud.findIndex((x) => x > 0.4 * top);
  const audible = loud.findIndex((x) => x > 0.02 * top);
  const first = Math.max(audible, vowel - Math.round(lead / 0.005)) * step;
  const last = Math.min(samples.length, (loud.findLastIndex((x) => x > 0.015 * top) + 3) * step);
  const word = samples.slice(first, last);
  const fade = Math.round(0.008 * RATE);
  return word.map((x, i) => (x * 0.9 * Math.min(1, (i + 1) / fade, (word.length - i) / fade)) / peak);
}
