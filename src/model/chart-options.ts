/** How a song's chart is written, and on what paper. */
export interface ChartOptions {
  readonly paper: 'a4' | 'letter';
  readonly landscape: boolean;
  readonly columns: 1 | 2;
  /** `stage` is read from a music stand two steps away. */
  readonly size: 'small' | 'normal' | 'large' | 'stage';
  /** With repeats, endings and jumps, or every bar written. */
  readonly folded: boolean;
  /** With D.C., D.S. and coda among the signs. */
  readonly jumps: boolean;
  /** The number of the first bar of each line. */
  readonly barNumbers: boolean;
  /** A slash for each beat. */
  readonly slashes: boolean;
  /** The strum pattern of each section. */
  readonly strum: boolean;
  /** Lines that the user typed for sections. */
  readonly cues: boolean;
  /** Where a pass differs from the others, said at the bar. */
  readonly notes: boolean;
  /** The form as a band to scale under the title. */
  readonly form: boolean;
  /** Chord shapes in a strip. */
  readonly shapes: boolean;
  /** Instrument of the shapes: id of one of TUNINGS, or a tuning as it is typed. */
  readonly instrument: string;
}

export const DEFAULT_CHART: ChartOptions = {
  paper: 'a4',
  landscape: false,
  columns: 1,
  size: 'normal',
  folded: true,
  jumps: true,
  barNumbers: true,
  slashes: false,
  strum: true,
  cues: true,
  notes: true,
  form: true,
  shapes: true,
  instrument: 'ukulele',
};

type Flag =
  'landscape' | 'folded' | 'jumps' | 'barNumbers' | 'slashes' | 'strum' | 'cues' | 'notes' | 'form' | 'shapes';

/** Options from what was kept; whatever is missing or makes no sense is as in `otherwise`. */
export function readChartOptions(kept: unknown, otherwise: ChartOptions = DEFAULT_CHART): ChartOptions {
  const from = typeof kept === 'object' && kept !== null ? (kept as Readonly<Record<string, unknown>>) : {};
  const one = <K extends keyof ChartOptions>(key: K, allowed: readonly ChartOptions[K][]): ChartOptions[K] =>
    allowed.includes(from[key] as ChartOptions[K]) ? (from[key] as ChartOptions[K]) : otherwise[key];
  const flag = (key: Flag): boolean => one(key, [true, false]);
  const { instrument } = from;
  return {
    paper: one('paper', ['a4', 'letter']),
    landscape: flag('landscape'),
    columns: one('columns', [1, 2]),
    size: one('size', ['small', 'normal', 'large', 'stage']),
    folded: flag('folded'),
    jumps: flag('jumps'),
    barNumbers: flag('barNumbers'),
    slashes: flag('slashes'),
    strum: flag('strum'),
    cues: flag('cues'),
    notes: flag('notes'),
    form: flag('form'),
    shapes: flag('shapes'),
    instrument: typeof instrument === 'string' && instrument.length <= 60 ? instrument : otherwise.instrument,
  };
}
