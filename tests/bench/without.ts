import { ONSET_BANDS, type Evidence, type Track } from '../../src/analysis/evidence/evidence.js';
import type { SolveOptions } from '../../src/analysis/solve-options.js';

/** Parts of the analysis that can be left out, to see what each is worth. */
export const PARTS = ['network', 'repetition', 'harmony'] as const;
export type Part = (typeof PARTS)[number];

/** The words of `--without`, also several in one, with commas. Throws TypeError for another. */
export function partsOf(words: readonly string[]): Part[] {
  return words
    .flatMap((word) => word.split(','))
    .map((word) => {
      const part = PARTS.find((one) => one === word);
      if (!part) throw new TypeError(`--without takes ${PARTS.join(', ')}, not "${word}"`);
      return part;
    });
}

/**
 * The evidence as it would be without some parts.
 *
 * network: its tracks are not there, as in evidence from before there was one. harmony: chroma and bass are silent, and the
 * downbeat track keeps the low attacks alone (rhythmTracks mixes both); what the network makes of harmony stays.
 * repetition is no track: see optionsWithout.
 */
export function evidenceWithout(evidence: Evidence, parts: readonly Part[]): Evidence {
  let { tracks } = evidence;
  if (parts.includes('network')) {
    const kept = Object.entries(tracks).filter(([name]) => !name.startsWith('heard'));
    tracks = Object.fromEntries(kept) as unknown as Evidence['tracks'];
  }
  if (parts.includes('harmony')) {
    const silent = (track: Track): Track => ({ ...track, data: new Uint8Array(track.data.length) });
    const { onset, downbeat } = tracks;
    const low = downbeat.data.map((_, i) => Math.round(0.4 * (onset.data[i * ONSET_BANDS] ?? 0)));
    tracks = {
      ...tracks,
      chroma: silent(tracks.chroma),
      bass: silent(tracks.bass),
      downbeat: { ...downbeat, data: low },
    };
  }
  return { ...evidence, tracks };
}

/** What tells the solver to leave out what is no part of the evidence. */
export function optionsWithout(parts: readonly Part[]): SolveOptions {
  return parts.includes('repetition') ? { without: ['repetition'] } : {};
}
