import { expect, it } from 'vitest';
import { reportText } from '../../src/cli/report.js';
import { check } from '../../src/model/invariants.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { tempoSummary } from '../../src/model/tempo.js';
import { decodeBytes, fixture, problemWith } from '../platform/decode/fixtures.js';
import { inFour, wav } from '../platform/decode/signals.js';
import { dice } from '../bench/made/dice.js';
import { analyseSignal } from '../support/sample-evidence.js';

// Whatever sound comes, through decoding and analysis as the command line does them: a sentence that says why not, or a map
// that adds up and says itself that there is little in it to go by.

const RATE = 8000;
const SECONDS = 8;

function sound(at: (time: number, sample: number) => number, rate = RATE, seconds = SECONDS): Float32Array {
  return Float32Array.from({ length: rate * seconds }, (_, i) => at(i / rate, i));
}

const tone = (time: number, pitch = 440): number => 0.3 * Math.sin(2 * Math.PI * pitch * time);

async function mapOf(bytes: Uint8Array): Promise<SongMap> {
  const { signal, recording } = await decodeBytes(bytes);
  const { map } = await analyseSignal(signal, recording);
  expect(check(map)).toEqual([]);
  return map;
}

const UNUSABLE: Readonly<Record<string, readonly [() => Uint8Array, RegExp]>> = {
  silence: [() => wav({ rate: RATE, channels: [sound(() => 0)] }), /silent from start to end .*Check how/],
  'samples that are no numbers': [
    () => wav({ rate: RATE, channels: [sound(() => NaN)], coding: 'f32' }),
    /silent from start to end .*Check how/,
  ],
  '3 seconds': [() => wav({ rate: RATE, channels: [inFour(RATE, 3)] }), /lasts 3\.0 seconds; at least 5 seconds/],
  'an empty file': [() => new Uint8Array(0), /empty \(0 bytes\)\. Copy or download it again/],
  'words called .mp3': [() => new TextEncoder().encode('Verse 1\nG Em C D\n'.repeat(50)), /a text file, not a rec/],
  'a file that breaks off': [() => fixture('mono.mp3').subarray(0, 9000), /breaks off/],
};

it.each(Object.entries(UNUSABLE))('%s: a sentence says why it cannot be used', async (_, [bytes, message]) => {
  expect((await problemWith(bytes())).message).toMatch(message);
});

/** White noise, the same each time. */
function hiss(): () => number {
  const roll = dice(1);
  return () => roll.real(-0.3, 0.3);
}

const COUNT_UNSURE = /^The whole song: about \d+ beats a minute, or /;
const LITTLE_TOLD = /Little is heard that tells/;

/** Sounds without a beat, and what has to be among the doubts. */
const BEATLESS: Readonly<Record<string, readonly [() => Uint8Array, RegExp]>> = {
  'white noise': [() => wav({ rate: 22050, channels: [sound(hiss(), 22050)] }), COUNT_UNSURE],
  'bursts of noise as in speech': [
    () => {
      const loudness = (time: number): number => Math.max(0, Math.sin(19.5 * time + 2 * Math.sin(1.3 * time))) ** 2;
      const noise = hiss();
      return wav({ rate: 22050, channels: [sound((time) => noise() * loudness(time), 22050)] });
    },
    COUNT_UNSURE,
  ],
  'a constant': [() => wav({ rate: RATE, channels: [sound(() => 0.5)], coding: 'f32' }), LITTLE_TOLD],
  'a steady tone': [() => wav({ rate: RATE, channels: [sound((time) => tone(time))] }), LITTLE_TOLD],
  'samples of which some are no numbers or infinite': [
    () => {
      const holed = sound((time, i) => (i % 1000 === 0 ? NaN : i % 1001 === 0 ? Infinity : tone(time)));
      return wav({ rate: RATE, channels: [holed], coding: 'f32' });
    },
    LITTLE_TOLD,
  ],
  'eight channels': [
    () => {
      const channels = Array.from({ length: 8 }, (_, c) => sound((time) => tone(time, 200 + c), 44100));
      return wav({ rate: 44100, channels });
    },
    LITTLE_TOLD,
  ],
};

it.each(Object.entries(BEATLESS))('%s: the map says that it may be another', async (_, [bytes, doubt]) => {
  const { doubts } = await mapOf(bytes());
  expect(doubts[0]?.kind).toBe('level');
  expect(doubts.map(({ text }) => text)).toContainEqual(expect.stringMatching(doubt));
});

it('one loud click: no steady beat, and that is said', async () => {
  const map = await mapOf(wav({ rate: RATE, channels: [sound((_, i) => (i === 4 * RATE ? 1 : 0))] }));
  expect(barsOf(map)).toEqual([]);
  expect(reportText(map)).toContain('No steady beat was found.');
});

it.each([8000, 192_000])('at %i Hz: the tempo is found as at any other rate', async (rate) => {
  const map = await mapOf(wav({ rate, channels: [inFour(rate, 14)] }));
  expect(tempoSummary(map)?.median).toBeCloseTo(120, 0);
});
