import type { Evidence, Track } from '../../analysis/evidence/evidence.js';
import type { Peaks } from '../../dsp/peaks.js';
import { PEAK_RATE } from '../../dsp/peaks.js';
import type { SongMap } from '../../model/song-map.js';

/** Version of the evidence of a song that came without any. */
const NONE = 'none';

/** Stands for the evidence of a song that came without: nothing can be solved with it. */
export function noEvidence(map: SongMap): Evidence {
  const track: Track = { rate: 1, width: 1, data: new Uint8Array(0) };
  return {
    version: NONE,
    duration: map.recording.duration,
    tuning: map.tuning,
    tracks: { beat: track, downbeat: track, onset: track, level: track, chroma: track, bass: track, timbre: track },
  };
}

/** True when bars can be solved with it. */
export function isEvidence(evidence: Evidence): boolean {
  return evidence.version !== NONE;
}

/** The outline of a song that came without one. */
export const NO_PEAKS: Peaks = { rate: PEAK_RATE, data: new Int8Array(0) };
