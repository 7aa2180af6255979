/**
 * An edit as plain data. `at`, `from`, `to` are seconds of the recording: what is meant is the bar that starts nearest to them,
 * and where a `beat` is given (1 is the first) that beat of it.
 */
export type GoldenEdit = GoldenAction & {
  /** Locks that are in the way are lifted and the edit is done again, as the page offers it. */
  readonly lifting?: true;
};

type GoldenAction =
  | { readonly do: 'beats'; readonly at: number; readonly beats: number }
  | { readonly do: 'accept'; readonly at: number }
  | { readonly do: 'beat 1' | 'not beat 1' | 'no beat'; readonly at: number; readonly beat?: number }
  | { readonly do: 'beat between'; readonly at: number; readonly beat?: number }
  | { readonly do: 'move beat'; readonly at: number; readonly beat?: number; readonly by: number }
  | { readonly do: 'half' | 'double'; readonly from?: number; readonly to?: number }
  /** Bar lines a beat earlier or later, from a bar on or in the whole song. */
  | { readonly do: 'shift'; readonly at?: number; readonly by: 1 | -1 }
  | { readonly do: 'free'; readonly from: number; readonly to: number }
  | { readonly do: 'meter'; readonly meter: string; readonly from?: number; readonly to?: number }
  | { readonly do: 'bar meter'; readonly at: number; readonly meter: string }
  /** Taps a few milliseconds off the beats of the map, with the first beats of its bars where `bars` says so. */
  | { readonly do: 'tap'; readonly from: number; readonly to: number; readonly bars?: true }
  | { readonly do: 'edge'; readonly edge: 'start' | 'end'; readonly at: number }
  /** The other reading of a doubt, or the one shown, made firm; by its place in the list, 1 is the worst. */
  | { readonly do: 'take' | 'keep'; readonly doubt: number }
  | { readonly do: 'lift'; readonly which: 'oldest' | 'newest' | 'all' }
  | { readonly do: 'name'; readonly from: number; readonly to: number; readonly name: string }
  | { readonly do: 'refuse section' | 'split section'; readonly at: number }
  /** Chords typed into a bar, in Harte syntax, one a beat. */
  | { readonly do: 'chords'; readonly at: number; readonly chords: readonly string[] };

/** An edit in a few words; `bar` names the bar that starts nearest to a time. */
export function editWords(edit: GoldenEdit, bar: (at: number) => string): string {
  return actionWords(edit, bar) + (edit.lifting ? ', lifting what is in the way' : '');
}

function actionWords(edit: GoldenEdit, bar: (at: number) => string): string {
  const between = (from?: number, to?: number): string =>
    from === undefined || to === undefined ? 'in the whole song' : `from ${bar(from)} to ${bar(to)}`;
  const beat = ({ at, beat = 1 }: { at: number; beat?: number }): string => `beat ${beat} of ${bar(at)}`;
  switch (edit.do) {
    case 'beats':
      return `${bar(edit.at)}: ${edit.beats} ${edit.beats === 1 ? 'beat' : 'beats'}`;
    case 'accept':
      return `${bar(edit.at)} accepted`;
    case 'beat 1':
      return `a bar starts on ${beat(edit)}`;
    case 'not beat 1':
      return `no bar starts on ${beat(edit)}`;
    case 'no beat':
      return `no beat on ${beat(edit)}`;
    case 'beat between':
      return `a beat half-way after ${beat(edit)}`;
    case 'move beat':
      return `${beat(edit)} ${Math.abs(1000 * edit.by)} ms ${edit.by < 0 ? 'earlier' : 'later'}`;
    case 'half':
      return `half tempo ${between(edit.from, edit.to)}`;
    case 'double':
      return `double tempo ${between(edit.from, edit.to)}`;
    case 'shift':
      return `bar lines a beat ${edit.by < 0 ? 'earlier' : 'later'} ${edit.at === undefined ? 'throughout' : `from ${bar(edit.at)}`}`;
    case 'free':
      return `free time ${between(edit.from, edit.to)}`;
    case 'meter':
      return `${edit.meter} ${between(edit.from, edit.to)}`;
    case 'bar meter':
      return `${bar(edit.at)}: ${edit.meter}`;
    case 'tap':
      return `taps ${between(edit.from, edit.to)}${edit.bars ? ' with beat 1' : ''}`;
    case 'edge':
      return `${edit.edge} of the map at ${edit.at} s`;
    case 'take':
      return `doubt ${edit.doubt}: the other reading`;
    case 'keep':
      return `doubt ${edit.doubt}: as shown`;
    case 'lift':
      return edit.which === 'all' ? 'all locks lifted' : `the ${edit.which} lock lifted`;
    case 'name':
      return `${bar(edit.from)} to ${bar(edit.to)} named ${edit.name}`;
    case 'refuse section':
      return `the section of ${bar(edit.at)} refused`;
    case 'split section':
      return `a section starts with ${bar(edit.at)}`;
    case 'chords':
      return `${bar(edit.at)}: ${edit.chords.join(' ')}`;
  }
}
