import type { Doubt } from '../model/song-map.js';
import type { BuiltSpans } from './build-spans.js';
import type { Evidence } from './evidence.js';

/** The places where the solver is least sure, worst first. */
export function rhythmDoubts(evidence: Evidence, built: BuiltSpans): Doubt[] {
  void evidence;
  void built;
  return [];
}
