import { mod12 } from '../../../src/music/pitch.js';
import type { Dice } from './dice.js';
import { intervalsOf, type ToneChord } from './harmony.js';

/** A note on the beat axis. */
export interface BandNote {
  readonly channel: number;
  readonly beat: number;
  readonly length: number;
  readonly pitch: number;
  readonly velocity: number;
  /** Seconds after its place: the strings of a strum. */
  readonly late?: number;
}

/** A chord that sounds on beats [beat, beat + beats), its pitch classes absolute. */
export interface Segment {
  readonly beat: number;
  readonly beats: number;
  readonly chord: ToneChord | undefined;
  /** Pitch class of the tonic. */
  readonly tonic: number;
  readonly next?: Segment;
}

export const CHANNELS = { comp: 0, bass: 1, lead: 2, pad: 3, second: 4, drums: 9 } as const;

export type CompStyle = 'whole' | 'block' | 'strum' | 'arpeggio' | 'offbeat' | 'boom' | 'pad' | 'push';
export type BassStyle = 'whole' | 'pulse' | 'fifths' | 'eighths' | 'walk';

export interface CompPlan {
  readonly style: CompStyle;
  readonly low: number;
  /** Parts of a beat: 2 or 3. */
  readonly parts: number;
  /** Which of sixteen places are struck, and in which order an arpeggio goes through its notes. */
  readonly pattern: readonly boolean[];
  readonly order: readonly number[];
  readonly dropFifth: boolean;
  readonly dropRoot: boolean;
}

export function compPlan(d: Dice, parts: number, hasBass: boolean): CompPlan {
  const style = d.weighted<CompStyle>([
    ['whole', 2],
    ['block', 3],
    ['strum', 4],
    ['arpeggio', 4],
    ['offbeat', 1],
    ['boom', 2],
    ['pad', 1],
    ['push', 1],
  ]);
  return {
    style,
    low: d.int(48, 60),
    parts,
    pattern: Array.from({ length: 24 }, (_, i) => i % parts === 0 || d.chance(0.5)),
    order: Array.from({ length: 24 }, (_, i) => (i % 8 === 0 ? 0 : d.int(0, 5))),
    dropFifth: d.chance(0.2),
    dropRoot: hasBass && d.chance(0.12),
  };
}

/** Notes of a chord from about `low` up, near the last ones; the bass of a slash chord that is no chord note is left to the bass. */
function voicing(chord: ToneChord, tonic: number, plan: CompPlan, before: readonly number[]): number[] {
  let intervals = [...intervalsOf(chord.kind)];
  if (intervals.length > 3 && plan.dropFifth) intervals = intervals.filter((n) => n !== 7);
  if (intervals.length > 3 && plan.dropRoot) intervals = intervals.filter((n) => n !== 0);
  const centre = before.length > 0 ? before.reduce((sum, p) => sum + p, 0) / before.length : plan.low + 7;
  const aim = Math.min(Math.max(centre, plan.low + 4), plan.low + 12);
  const pitches = intervals.map((n) => {
    const pitch = mod12(tonic + chord.root + n);
    const from = Math.round(aim) - 6;
    return from + mod12(pitch - from);
  });
  return pitches.sort((a, b) => a - b);
}

/** Chords of one instrument over segments. */
export function playChords(d: Dice, channel: number, plan: CompPlan, segments: readonly Segment[]): BandNote[] {
  const out: BandNote[] = [];
  let before: readonly number[] = [];
  segments.forEach((segment, index) => {
    const { chord, beat, beats, tonic } = segment;
    if (!chord) return;
    const notes = voicing(chord, tonic, plan, before);
    before = notes;
    const strike = (at: number, length: number, velocity: number, which = notes, strum = 0): void => {
      const down = d.chance(0.7);
      which.forEach((pitch, i) => {
        const order = down ? i : which.length - 1 - i;
        out.push({ channel, beat: beat + at, length, pitch, velocity: velocity + d.gauss(4), late: order * strum });
      });
    };
    const slots = Math.round(beats * plan.parts);
    const slot = 1 / plan.parts;
    if (plan.style === 'whole' || plan.style === 'pad') strike(0, beats * 0.98, 78);
    else if (plan.style === 'block') for (let b = 0; b < beats; b++) strike(b, 0.9, b === 0 ? 84 : 74);
    else if (plan.style === 'offbeat')
      for (let b = 0; b < beats; b++) strike(b + (plan.parts === 3 ? 2 / 3 : 0.5), 0.35, 82);
    else if (plan.style === 'boom') {
      const low = chord.bass === chord.root ? (notes[0] as number) - 12 : 36 + mod12(tonic + chord.bass - 36);
      out.push({ channel, beat, length: 0.9, pitch: Math.max(36, low), velocity: 84 });
      for (let b = 1; b < beats; b++) strike(b, 0.7, 72, notes, 0.004);
      if (beats === 1) strike(slot, 0.4, 70, notes, 0.004);
    } else if (plan.style === 'arpeggio') {
      const rate = plan.parts === 2 && beats >= 2 && plan.pattern[3] ? 4 : plan.parts;
      for (let i = 0; i < beats * rate; i++) {
        const pitch = notes[(plan.order[i % 24] as number) % notes.length] as number;
        out.push({ channel, beat: beat + i / rate, length: 1.5 / rate + 0.4, pitch, velocity: i === 0 ? 84 : 70 });
      }
    } else {
      // A pushed chord is struck half a beat before its beat and still counts from the beat.
      const pushed = plan.style === 'push' && index > 0 && segments[index - 1]?.chord !== undefined;
      const early = pushed ? slot : 0;
      if (early > 0) strike(-early, early + 0.9, 86, notes, 0.008);
      for (let i = early > 0 ? 1 : 0; i < slots; i++) {
        if (!plan.pattern[i % 24] && i > 0) continue;
        if (plan.style === 'push' && segment.next && i === slots - 1) continue;
        strike(i * slot, slot * 0.95, i % plan.parts === 0 ? 82 : 66, notes, 0.011);
      }
    }
  });
  return out;
}

/** A bass line: the chord's bass on its first beat, then as the style has it. */
export function playBass(d: Dice, style: BassStyle, parts: number, segments: readonly Segment[]): BandNote[] {
  const out: BandNote[] = [];
  let last = 40;
  const near = (pitch: number, to: number): number => {
    let p = 28 + mod12(pitch - 28);
    if (p + 12 <= 50 && Math.abs(p + 12 - to) < Math.abs(p - to)) p += 12;
    return p;
  };
  for (const { chord, beat, beats, tonic, next } of segments) {
    if (!chord) continue;
    const low = near(tonic + chord.bass, last);
    last = low;
    const slash = chord.bass !== chord.root;
    const intervals = intervalsOf(chord.kind);
    const fifth = intervals.find((n) => n >= 6 && n <= 8) ?? 7;
    const add = (at: number, length: number, pitch: number, velocity: number): void => {
      out.push({ channel: CHANNELS.bass, beat: beat + at, length, pitch, velocity: velocity + d.gauss(4) });
    };
    if (style === 'whole' || beats < 1) add(0, beats * 0.95, low, 94);
    else if (style === 'pulse') for (let b = 0; b < beats; b++) add(b, 0.9, low, b === 0 ? 96 : 84);
    else if (style === 'eighths')
      for (let i = 0; i < beats * parts; i++) add(i / parts, 0.9 / parts, low, i === 0 ? 96 : 80);
    else if (style === 'fifths')
      for (let b = 0; b < beats; b += 2) {
        const high = slash ? low : near(tonic + chord.root + fifth, low - 5);
        add(b, Math.min(1.9, beats - b), b % 4 === 0 ? low : high, 90);
      }
    else
      for (let b = 0; b < beats; b++) {
        const goal = next?.chord ? near(tonic + next.chord.bass, low) : low;
        const pitch =
          b === 0
            ? low
            : b === Math.ceil(beats) - 1 && beats > 1
              ? goal + d.pick([-1, 1, -2, 2])
              : low + d.pick(intervals.map((n) => mod12(n + chord.root - chord.bass)).filter((n) => n <= 9));
        add(b, 0.95, pitch, 88);
      }
  }
  return out;
}

/** A tune over a bar: chord notes on the beats, scale notes between. `shape` is the same in every pass. */
export function playLead(
  d: Dice,
  shape: { readonly seed: readonly number[]; readonly rhythm: readonly (readonly number[])[]; readonly bar: number },
  scale: readonly number[],
  segments: readonly Segment[],
  barBeat: number,
  barBeats: number,
): BandNote[] {
  const places = (shape.rhythm[shape.bar % shape.rhythm.length] ?? []).filter((place) => place < barBeats);
  const out: BandNote[] = [];
  places.forEach((place, i) => {
    const at = barBeat + place;
    const segment = segments.find(({ beat, beats }) => at >= beat - 1e-6 && at < beat + beats - 1e-6);
    if (!segment?.chord) return;
    const { chord, tonic } = segment;
    const level = shape.seed[(shape.bar * 5 + i) % shape.seed.length] as number;
    const aim = 66 + Math.round(level * 12);
    const notes = intervalsOf(chord.kind).map((n) => mod12(tonic + chord.root + n));
    const pool = place % 1 === 0 || level > 0.55 ? notes : scale.map((n) => mod12(tonic + n));
    const pitch = pool
      .map((p) => aim - 6 + mod12(p - aim + 6))
      .reduce((a, b) => (Math.abs(b - aim) < Math.abs(a - aim) ? b : a));
    const until = places[i + 1] ?? barBeats;
    const length = Math.max(0.2, (until - place) * 0.9);
    out.push({ channel: CHANNELS.lead, beat: at, length, pitch, velocity: 88 + d.gauss(6) });
  });
  return out;
}
