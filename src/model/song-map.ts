import type { Bpm, Cents, Seconds } from '../music/units.js';
import type { Meter } from '../music/meter.js';
import type { Strum } from '../music/strum.js';
import type { ChartOptions } from './chart-options.js';
import type { Lock } from './locks.js';
import type { IgnoredDifference } from './ignored-difference.js';

/**
 * The one model: an immutable, plain-JSON map of a recording. Edits are functions from map to map.
 *
 * `spans` tile [start, end]: each begins where the one before ends; the last ends at `end`. `sections` tile the
 * bars. Times are seconds of the recording.
 */
export interface SongMap {
  readonly title: string;
  readonly recording: Recording;
  /** First and last moment of the map: 0 <= start < end <= recording.duration. */
  readonly start: Seconds;
  readonly end: Seconds;
  readonly spans: readonly Span[];
  /** The prevailing time signature: bars whose length differs from it are irregular. */
  readonly prevailing: Meter;
  /** How far the recording's tuning lies above A440 equal temperament; -50 to 50. */
  readonly tuning: Cents;
  readonly key?: Key;
  readonly sections: readonly Section[];
  /** Where the user refused a suggested section: none is suggested to begin there again. Ascending; absent without any. */
  readonly refused?: readonly Seconds[];
  /**
   * Ascending in time; each lasts until the next, the last until the end of the last bar. Suggested ones lie in bars
   * or free stretches; a typed one stays, and stays out of sight, when no bar is left where it was typed.
   */
  readonly chords: readonly ChordMark[];
  /** All decisions of the user about beats and bars, oldest first. */
  readonly locks: readonly Lock[];
  /** Per-bar second-best reading, from the solver; only for bars where there is one. */
  readonly doubts: readonly Doubt[];
  /** Differences between passes that the user does not want to hear of; absent when there are none. */
  readonly ignored?: readonly IgnoredDifference[];
  /** Orders of its own in which the user plays the sections; absent without any. */
  readonly arrangements?: readonly Arrangement[];
  /** How the chords are fingered; absent while they are shown as they sound and no shape is chosen. */
  readonly fingered?: Fingered;
  /** How its chart is written; absent until the user chose. */
  readonly chart?: ChartOptions;
  /** Version of the analysis that made this map. */
  readonly analysis: string;
}

export interface Recording {
  readonly fileName: string;
  readonly duration: Seconds;
  readonly sampleRate: number;
  readonly channels: number;
  /** Lower-case hexadecimal SHA-256 of the file's bytes: the same file is recognised by it. */
  readonly contentId: string;
}

export type Span = LeadIn | Bar | FreeStretch | Tail;

/** Sound or silence before the first bar; only the first span. */
export interface LeadIn {
  readonly kind: 'lead-in';
  readonly start: Seconds;
}

export interface Bar {
  readonly kind: 'bar';
  readonly start: Seconds;
  /** Starts of the bar's beats, ascending, `beats[0] === start`, as many as `beatStartsOf(meter)`. */
  readonly beats: readonly Seconds[];
  readonly meter: Meter;
  /** An incomplete bar before a beat 1, on which it ends: the first bar of all or the first after a free stretch. */
  readonly pickup?: true;
  /** Probability, 0 to 1, that this bar's start and its number of beats are both right. */
  readonly confidence: number;
}

/** A stretch without a steady beat. */
export interface FreeStretch {
  readonly kind: 'free';
  readonly start: Seconds;
}

/** What is left after the last bar; only the last span. */
export interface Tail {
  readonly kind: 'tail';
  readonly start: Seconds;
}

export interface Key {
  /** Pitch name, "C#", "Bb". */
  readonly tonic: string;
  readonly mode: 'major' | 'minor';
  /** 0 to 1. */
  readonly confidence: number;
}

export interface Section {
  readonly id: string;
  /** "Verse", or what the user typed. */
  readonly name: string;
  /** Sections of the same material share a letter: "A", "B". */
  readonly letter: string;
  /** Start of its first bar. */
  readonly start: Seconds;
  /** Where the user put this edge; `start` is the bar line nearest to it. Absent while the edge is only suggested. */
  readonly anchor?: Seconds;
  readonly origin: Origin;
  /** Ratio of long to short eighth, 1 straight to 3; absent when not set. */
  readonly swing?: number;
  /** How it is strummed; absent when not set. */
  readonly strum?: Strum;
  /** A line of the user's for the chart, such as the first words; absent when not set. */
  readonly cue?: string;
}

/**
 * How the user fingers the song. `chords` and `key` of a map always are those that sound; what is shown of them follows from
 * this by `shownMap` (shown-chords.ts), one place for the map, the stage and the chart.
 */
export interface Fingered {
  /** Semitones from the recording's key to the key the song is played in, -11 to 11; absent when it is the same. */
  readonly transpose?: number;
  /** Fret of the capo, 1 to 9; absent without one. */
  readonly capo?: number;
  /** Chords are shown as they sound although a capo is on; absent: as the shapes behind it. */
  readonly sounding?: true;
  /** Shapes the user chose; of the others the easiest is shown. */
  readonly shapes?: readonly ChosenShape[];
}

/** The shape in which a chord is fingered on an instrument. */
export interface ChosenShape {
  /** Open strings as MIDI notes, parted by spaces: "67 60 64 69". */
  readonly strings: string;
  /** The chord that is fingered, in Harte syntax: the one shown, not the one that sounds. */
  readonly harte: string;
  /** Frets in the order of the strings, -1 for one that is not played: [0, 2, 1, 2]. */
  readonly frets: readonly number[];
}

/** Sections of a song in an order of their own. */
export interface Arrangement {
  readonly id: string;
  readonly name: string;
  readonly items: readonly ArrangementItem[];
}

/** A section to be played at some place of an arrangement. */
export interface ArrangementItem {
  /** A moment amid the section, so that it is found again when edges move. */
  readonly time: Seconds;
  /** Beats before the section's first bar that belong to it, such as a sung pickup: they take the place of the last ones before. */
  readonly early?: number;
}

export interface ChordMark {
  /** Time of the beat (or of a place between beats) where the chord begins. */
  readonly time: Seconds;
  /** Harte syntax: "G", "A:min7", "C/E" is "C:maj/3"; "N" is no chord. */
  readonly harte: string;
  readonly origin: Origin;
  /** 0 to 1. */
  readonly confidence: number;
}

export type Origin = 'suggested' | 'user';

/** A bar the solver is unsure of, with the two readings to hear and to choose. */
export interface Doubt {
  /** Start of the bar as it now stands; a bar starts at this time. */
  readonly time: Seconds;
  /** 0 to 1; the larger, the more a listen is worth. */
  readonly weight: number;
  readonly kind: 'level' | 'phase' | 'length' | 'weak' | 'edge' | 'free';
  /** In words: "4 beats or 2? The same place in verse 1 has 2." */
  readonly text: string;
  /** The locks that make the shown reading firm (accept). */
  readonly keep: readonly LockDraft[];
  /** The locks that take the other reading; empty when there is no other. */
  readonly other: readonly LockDraft[];
}

/** A lock without its identity: what an edit, a doubt or a file of locks proposes. */
export type LockDraft = Draft<Lock>;
type Draft<L> = L extends Lock ? Omit<L, 'id'> : never;

/** Tempo over the song: beats a minute, 5th, 50th and 95th percentile of the beats' tempi (see beatTempi). */
export interface TempoSummary {
  readonly low: Bpm;
  readonly median: Bpm;
  readonly high: Bpm;
}
