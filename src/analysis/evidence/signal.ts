/** Sample rate of the mono signal every analysis works on, in Hz. */
export const ANALYSIS_RATE = 22050;

/** The recording as analysed: mono (channels averaged), ANALYSIS_RATE, nominally -1 to 1. Made while decoding. */
export type AnalysisSignal = Float32Array;
