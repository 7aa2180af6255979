import { readFileSync } from 'node:fs';
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex } from '@noble/hashes/utils.js';
import { beatTimes } from '../../../src/model/map-queries.js';
import type { SongMap } from '../../../src/model/song-map.js';
import { wav } from '../../platform/decode/signals.js';
import { bars } from '../../support/notation.js';
import { analysedSample, samplePath } from '../../support/sample-evidence.js';
import { songProject } from '../../support/seed.js';
import { flatEvidence } from '../../support/songs.js';
import type { GivenFile } from '../../support/user.js';

/** A song to hand over: what it is called in the report, its map, and a project file with its recording. */
export interface HandoverSong {
  readonly name: string;
  readonly map: SongMap;
  readonly project: GivenFile;
}

const RATE = 22050;
const BUNDLED = 'kites-over-brennick.ogg';
const ROW = '4:G 4:E:min 4:C 4:D:7';
/** Markup, quotes, what ends other things, several scripts, a turned-about letter, and what begins a formula. */
const HOSTILE = `=2+3 "Kuň <b>&amp;</b>" ]]> Žlutý Ψ Щ 雨 🎸 \u202eabc\u202c ../..\\x`;

/** The songs of `handover`: the bundled one, 7/8, free time, 160 bars, 40 sections, and names that mean harm. */
export async function handoverSongs(): Promise<HandoverSong[]> {
  const { map, evidence, peaks } = await analysedSample(BUNDLED);
  const bundled = {
    name: 'bundled',
    map,
    project: songProject(map, evidence, peaks, readFileSync(samplePath(BUNDLED))),
  };
  const sevens = '7/8(2+2+3):A:min 7/8(2+2+3):F 7/8(2+2+3):G 5/8(2+3):E:7';
  const verse = Array<string>(8).fill(ROW).join(' ');
  const hostile = bars(`- V: (1) ${ROW} | C: 4:C 2:F 4:G | V: ${ROW} -`, { title: HOSTILE });
  return [
    bundled,
    made(
      '7/8',
      bars(`- Verse: ${sevens} | Chorus: 4/4:C 4/4:D | Verse: ${sevens} -`, { title: 'Seven Stiles', beat: 0.3 }),
    ),
    made('free time', bars(`- Intro: 4:G ~7 | Verse: ${ROW} ~ 4:G | Verse: ${ROW} -3`, { title: 'Reed Bank' })),
    made(
      '160 bars',
      bars(`-2 Verse: ${verse} | Chorus: ${verse} | Verse: ${verse} | Chorus: ${verse} | Verse: ${verse} -`, {
        title: 'Long Meadow',
        beat: 0.4,
      }),
    ),
    made(
      '40 sections',
      bars(Array.from({ length: 40 }, (_, i) => `Part_${i % 7}: ${ROW}`).join(' | '), { title: 'Many Gates' }),
    ),
    made('hostile names', { ...hostile, sections: hostile.sections.map((section) => ({ ...section, name: HOSTILE })) }),
  ];
}

/** A click on each beat as the recording of a map. */
function made(name: string, map: SongMap): HandoverSong {
  const sound = new Float32Array(Math.ceil(map.end * RATE));
  for (const time of beatTimes(map))
    for (let i = 0; i < 0.06 * RATE; i++)
      sound[Math.round(time * RATE) + i] = 0.6 * Math.exp(-i / 300) * Math.sin((2 * Math.PI * 660 * i) / RATE);
  const bytes = wav({ rate: RATE, channels: [sound] });
  const duration = sound.length / RATE;
  const recording = { ...map.recording, duration, sampleRate: RATE, channels: 1, contentId: bytesToHex(sha256(bytes)) };
  const whole = { ...map, recording };
  const peaks = { rate: 200, data: new Int8Array(2 * Math.ceil(200 * duration)).fill(40) };
  return { name, map: whole, project: songProject(whole, flatEvidence(duration), peaks, bytes) };
}
