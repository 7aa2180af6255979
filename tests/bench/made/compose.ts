import { tonicName, type KeyLike } from '../../../src/music/key.js';
import { mod12, pitchClassOf } from '../../../src/music/pitch.js';
import { dice, type Dice } from './dice.js';
import { groove, playDrums, type Groove } from './drums.js';
import { planForm, type Form, type PlannedSection, type PlantKind } from './forms.js';
import { harteOf, type Colour } from './harmony.js';
import {
  CHANNELS,
  compPlan,
  playBass,
  playChords,
  playLead,
  type BandNote,
  type BassStyle,
  type CompPlan,
  type Segment,
} from './parts.js';
import type { MadeTruth } from './truth.js';

/** A composed song: its notes in seconds, what plays them, and everything that is known about it. */
export interface MadeSong {
  readonly notes: readonly TimedNote[];
  /** General MIDI programs by channel. */
  readonly programs: ReadonlyMap<number, number>;
  /** Cents above A440. */
  readonly cents: number;
  readonly truth: MadeTruth;
  /** Stretches where noise lies over the music. */
  readonly noise: readonly (readonly [from: number, to: number])[];
  /** 0 to 1. */
  readonly reverb: number;
}

export interface TimedNote {
  readonly channel: number;
  readonly time: number;
  readonly duration: number;
  readonly pitch: number;
  /** 1 to 127. */
  readonly velocity: number;
}

interface Meter {
  readonly beats: number;
  readonly parts: number;
  readonly bpm: readonly [number, number];
}

const METERS: readonly (readonly [Meter, number])[] = [
  [{ beats: 4, parts: 2, bpm: [66, 168] }, 14],
  [{ beats: 3, parts: 2, bpm: [84, 180] }, 3],
  [{ beats: 2, parts: 3, bpm: [46, 84] }, 2],
  [{ beats: 5, parts: 2, bpm: [90, 160] }, 1],
];
const COMP = [0, 1, 4, 5, 24, 25, 26, 27, 28, 16, 6, 11, 21, 46, 105, 29];
const PAD = [48, 49, 50, 52, 88, 89, 16, 19, 61];
const LEAD = [40, 56, 60, 65, 68, 71, 73, 75, 22, 80, 81, 53, 54, 26, 11, 66];
const BASSES = [32, 33, 34, 35, 36, 38, 39, 58];

export interface ComposeOptions {
  readonly plant?: PlantKind;
  readonly maxBars?: number;
}

/** A song, always the same for the same seed and options. */
export function compose(id: string, seed: number, options: ComposeOptions = {}): MadeSong {
  const d = dice(seed);
  const meter = d.weighted(METERS);
  const mode = d.chance(0.35) ? 'minor' : 'major';
  const key: KeyLike = { tonic: tonicName(d.int(0, 11), mode), mode };
  const colour = d.weighted<Colour>([
    ['plain', 4],
    ['mixed', 4],
    ['rich', 3],
  ]);
  const form = planForm(d, mode, meter.beats, colour, options.maxBars ?? 76, options.plant);
  const total = form.sections.reduce((sum, { bars }) => sum + bars.reduce((n, bar) => n + bar.beats, 0), 0);
  const beats = beatTimes(d, d.real(...meter.bpm), total + meter.beats);
  const band = chooseBand(d, form, meter);
  const played = playForm(d, form, band, meter, key);
  const time = (beat: number): number => {
    const i = Math.min(Math.max(0, Math.floor(beat)), beats.length - 2);
    return (beats[i] as number) + (beat - i) * ((beats[i + 1] as number) - (beats[i] as number));
  };
  const spread = d.real(0.001, 0.012);
  const notes = played.notes.map(({ channel, beat, length, pitch, velocity, late }): TimedNote => {
    const start = Math.max(0.02, time(beat) + d.gauss(spread) + (late ?? 0));
    const end = Math.max(start + 0.05, time(beat + length));
    return {
      channel,
      time: start,
      duration: end - start,
      pitch,
      velocity: Math.round(Math.min(127, Math.max(8, velocity))),
    };
  });
  const { truth, noise } = known(id, seed, form, beats, played.sectionBeats, key, meter, band);
  return {
    notes: notes.sort((a, b) => a.time - b.time),
    programs: band.programs,
    cents: d.chance(0.25) ? d.int(-40, 40) : 0,
    truth,
    noise,
    reverb: d.chance(0.4) ? d.real(0.1, 0.5) : 0,
  };
}

/** Beat times of a band: a tempo that wanders by up to two in a hundred. */
function beatTimes(d: Dice, bpm: number, count: number): number[] {
  const wander = d.chance(0.5) ? d.real(0.002, 0.02) : 0;
  let drift = 0;
  let time = d.real(0.3, 2);
  return Array.from({ length: count + 1 }, () => {
    const now = time;
    drift = Math.max(-1, Math.min(1, drift + d.gauss(0.15)));
    time += (60 / bpm) * (1 + wander * drift);
    return now;
  });
}

interface Band {
  readonly programs: ReadonlyMap<number, number>;
  readonly comps: readonly CompPlan[];
  readonly seconds: readonly (CompPlan | undefined)[];
  readonly bass: readonly BassStyle[];
  readonly grooves: readonly Groove[];
  readonly rhythms: readonly (readonly (readonly number[])[])[];
  readonly shapes: readonly (readonly number[])[];
  readonly hasBass: boolean;
  readonly hasDrums: boolean;
  readonly hasLead: boolean;
  /** By section: what is missing or too loud in a pass that is hard to hear. */
  readonly unclear: ReadonlyMap<number, 'noise' | 'thin' | 'busy'>;
  /** Sections in which only drums are heard in the first bars. */
  readonly drumIntro: number;
}

function chooseBand(d: Dice, form: Form, meter: Meter): Band {
  const each = <T>(make: () => T): T[] => form.materials.map(make);
  const hasBass = d.chance(0.88);
  const same = d.chance(0.35);
  const bassStyles = ['whole', 'pulse', 'fifths', 'eighths', 'walk'] as const;
  const one = compPlan(d, meter.parts, hasBass);
  const bass = d.pick(bassStyles);
  const beat = groove(d, meter.beats, meter.parts);
  const unclear = new Map<number, 'noise' | 'thin' | 'busy'>();
  form.materials.forEach((_, m) => {
    const passes = form.sections.flatMap(({ material }, i) => (material === m ? [i] : []));
    if (passes.length > 1 && d.chance(0.35)) unclear.set(d.pick(passes), d.pick(['noise', 'thin', 'busy'] as const));
  });
  return {
    programs: new Map<number, number>([
      [CHANNELS.comp, d.pick(COMP)],
      [CHANNELS.bass, d.pick(BASSES)],
      [CHANNELS.lead, d.pick(LEAD)],
      [CHANNELS.pad, d.pick(PAD)],
      [CHANNELS.second, d.pick(COMP)],
    ]),
    comps: each(() => (same ? one : compPlan(d, meter.parts, hasBass))),
    seconds: each(() => (d.chance(0.35) ? compPlan(d, meter.parts, hasBass) : undefined)),
    bass: each(() => (same ? bass : d.pick(bassStyles))),
    grooves: each(() => (same ? beat : groove(d, meter.beats, meter.parts))),
    rhythms: each(() => Array.from({ length: d.int(1, 4) }, () => rhythm(d, meter))),
    shapes: each(() => Array.from({ length: 37 }, () => d.next())),
    hasBass,
    hasDrums: d.chance(0.8),
    hasLead: d.chance(0.85),
    unclear,
    drumIntro: !form.planted && d.chance(0.15) ? d.pick([1, 2]) : 0,
  };
}

function rhythm(d: Dice, { beats, parts }: Meter): number[] {
  const rate = d.real(0.25, 0.7);
  return Array.from({ length: 8 * parts }, (_, i) => i / parts).filter(
    (place) => place < beats + 2 && d.chance(place % 1 === 0 ? Math.min(1, rate + 0.25) : rate * 0.6),
  );
}

function playForm(
  d: Dice,
  form: Form,
  band: Band,
  meter: Meter,
  key: KeyLike,
): { notes: BandNote[]; sectionBeats: number[] } {
  const tonic = pitchClassOf(key.tonic);
  const scale = key.mode === 'major' ? [0, 2, 4, 5, 7, 9, 11] : [0, 2, 3, 5, 7, 8, 10];
  const notes: BandNote[] = [];
  const sectionBeats: number[] = [];
  let start = 0;
  const last = form.sections.length - 1;
  form.sections.forEach((section, index) => {
    sectionBeats.push(start);
    const { material } = section;
    const segments = segmentsOf(section, start, mod12(tonic + section.shift));
    const unclear = band.unclear.get(index);
    const edge = section.label === 'intro' || section.label === 'interlude' || section.label === 'outro';
    const drumsOnly = index === 0 ? Math.min(band.drumIntro, section.bars.length - 1) : 0;
    const comp = segments.filter(({ beat }) => beat >= drumsOnlyEnd(section, start, drumsOnly));
    const add = (fresh: readonly BandNote[], gain = 1): void => {
      notes.push(...fresh.map((note) => ({ ...note, velocity: note.velocity * gain })));
    };
    add(
      playChords(d, CHANNELS.comp, band.comps[material] as CompPlan, comp),
      unclear === 'thin' ? 0.45 : unclear === 'busy' ? 0.7 : 1,
    );
    const second = band.seconds[material];
    const rich = section.label === 'chorus' || section.label === 'refrain' || (material % 2 === 1 && !edge);
    if (second && unclear !== 'thin') add(playChords(d, CHANNELS.second, second, comp), 0.85);
    if (rich && unclear !== 'thin')
      add(playChords(d, CHANNELS.pad, { ...(band.comps[material] as CompPlan), style: 'pad' }, comp), 0.8);
    if (band.hasBass && unclear !== 'thin' && !(edge && d.chance(0.3)))
      add(playBass(d, band.bass[material] as BassStyle, meter.parts, comp));
    const drums = band.hasDrums && !(edge && index === 0 && drumsOnly === 0 && d.chance(0.5));
    let at = start;
    section.bars.forEach((bar, b) => {
      if (drums)
        add(
          playDrums(d, band.grooves[material] as Groove, meter.parts, at, bar.beats, {
            crash: b === 0 && index > 0 && rich,
            fill: b === section.bars.length - 1 && index < last && d.chance(0.6),
            level: unclear === 'busy' ? 1.2 : 1,
          }),
        );
      if (band.hasLead && !edge && !(unclear === 'thin' && d.chance(0.3))) {
        const shape = {
          seed: band.shapes[material] as number[],
          rhythm: band.rhythms[material] as number[][],
          bar: b,
        };
        add(playLead(d, shape, scale, segments, at, bar.beats), unclear === 'busy' ? 1.25 : 1);
      }
      at += bar.beats;
    });
    start = at;
  });
  return { notes, sectionBeats };
}

function drumsOnlyEnd(section: PlannedSection, start: number, bars: number): number {
  return start + section.bars.slice(0, bars).reduce((sum, { beats }) => sum + beats, 0);
}

function segmentsOf(section: PlannedSection, start: number, tonic: number): Segment[] {
  const flat: Segment[] = [];
  let at = start;
  for (const { beats, chords } of section.bars) {
    chords.forEach(({ beat, chord }, i) => {
      flat.push({ beat: at + beat, beats: (chords[i + 1]?.beat ?? beats) - beat, chord, tonic });
    });
    at += beats;
  }
  return flat.map((segment, i) => {
    const next = flat[i + 1];
    return next ? { ...segment, next } : segment;
  });
}

function known(
  id: string,
  seed: number,
  form: Form,
  beats: readonly number[],
  sectionBeats: readonly number[],
  key: KeyLike,
  meter: Meter,
  band: Band,
): { truth: MadeTruth; noise: [number, number][] } {
  const at = (beat: number): number => Math.round((beats[beat] as number) * 1000) / 1000;
  const truth = {
    beats: [] as [number, number][],
    bars: [] as [number, number][],
    chords: [] as [number, number, string][],
    sections: [] as [number, number, string][],
  };
  let beat = 0;
  form.sections.forEach((section, index) => {
    section.bars.forEach((bar, b) => {
      truth.bars.push([at(beat), bar.beats]);
      for (let k = 0; k < bar.beats; k++) truth.beats.push([at(beat + k), k + 1]);
      const silent = index === 0 && b < Math.min(band.drumIntro, section.bars.length - 1);
      bar.chords.forEach((placed, i) => {
        const from = at(beat + placed.beat);
        const to = at(beat + (bar.chords[i + 1]?.beat ?? bar.beats));
        const harte = silent ? 'N' : harteOf(placed.chord, key, section.shift);
        const before = truth.chords[truth.chords.length - 1];
        if (before && before[2] === harte) before[1] = to;
        else truth.chords.push([from, to, harte]);
      });
      beat += bar.beats;
    });
    truth.sections.push([at(sectionBeats[index] as number), at(beat), section.label]);
  });
  const end = at(beat);
  const first = at(0);
  const usual = (beats[1] as number) - (beats[0] as number);
  const lengths = truth.beats.map(([time], i) => (truth.beats[i + 1]?.[0] ?? end) - time).sort((a, b) => a - b);
  const sectionOf = form.planted && form.sections[form.planted.section];
  const plantedTime = form.planted && sectionOf ? plantedAt(form, sectionBeats, at) : undefined;
  return {
    truth: {
      id,
      set: id.charAt(0),
      seed,
      duration: Math.round((end + 2.5) * 1000) / 1000,
      beats_per_bar: meter.beats,
      irregular_bars: truth.bars.filter(([, n]) => n !== meter.beats).length,
      last_bar_open: false,
      tempo: Math.round(6000 / (lengths[lengths.length >> 1] as number)) / 100,
      judged: [first - usual / 2, end - usual / 2],
      key: `${key.tonic}:${key.mode}`,
      ...truth,
      passes: form.sections.map(({ label, shift }) => ({ label, shift })),
      unclear: [...band.unclear].map(([section, how]) => ({ section, how })),
      ...(form.planted && plantedTime !== undefined ? { planted: { ...form.planted, time: plantedTime } } : {}),
    },
    noise: [...band.unclear]
      .filter(([, how]) => how === 'noise')
      .map(([section]) => {
        const [from, to] = truth.sections[section] as [number, number, string];
        return [from, to];
      }),
  };
}

function plantedAt(form: Form, sectionBeats: readonly number[], at: (beat: number) => number): number {
  const { section, bar } = form.planted as NonNullable<Form['planted']>;
  const before = (form.sections[section] as PlannedSection).bars.slice(0, bar);
  return at((sectionBeats[section] as number) + before.reduce((sum, { beats }) => sum + beats, 0));
}
