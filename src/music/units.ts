/**
 * Units as named number types: a plain number fits any of them, one of them never fits another.
 * Units of measure as types: common practice, no source.
 */
type Unit<Name extends string> = number & { readonly unit?: Name };

/** Seconds on the recording's own clock; 0 is the first decoded sample. */
export type Seconds = Unit<'s'>;
/** Index of a sample frame at a stated sample rate. */
export type SampleIndex = Unit<'sample'>;
/** Index of a bar among the bars of a map, from 0. What screens say is its number, which leaves out pickups. */
export type BarIndex = Unit<'bar'>;
/** Index of a beat inside its bar, from 0. */
export type BeatIndex = Unit<'beat'>;
/** Beats a minute. */
export type Bpm = Unit<'bpm'>;
/** Hundredths of an equal-tempered semitone. */
export type Cents = Unit<'cents'>;
