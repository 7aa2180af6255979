import type { AnalysisTools } from '../../analysis/analyse.js';
import { loadEssentia } from './essentia-loader.js';
import { loadFfts } from './fft-loader.js';
import { loadRhythmNet } from './network-loader.js';

/**
 * What the analysis needs, in a worker or in Node. The network goes on loading while the analysis begins; that it cannot
 * start is told when it is asked for.
 */
export async function loadTools(): Promise<AnalysisTools> {
  const net = loadRhythmNet();
  // Heard of by whoever awaits it; until then a failure is no unhandled one.
  net.catch(() => undefined);
  const [ffts, essentia] = await Promise.all([loadFfts(), loadEssentia()]);
  return { ffts, essentia, net };
}
