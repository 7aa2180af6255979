import { differs, type ChordFact, type SongFacts, type StateFacts } from './facts.js';
import { pairs } from './pairs.js';
import { clock, number, otherwise, several } from './say.js';
import { spanWords } from './span-words.js';

/** Most sentences about one state of a song. */
const MOST = 14;

/**
 * What differs, one text for each state that differs: "kites-over-brennick, after 'bar 12: 3 beats': bar 37 has 2 beats instead of 4".
 * None when nothing differs; at least one when anything does.
 */
export function differenceSentences(was: SongFacts, now: SongFacts): string[] {
  const said = differs(was.levels, now.levels) ? levelWords(was, now).map((words) => `${was.id}: ${words}`) : [];
  const same = (a: StateFacts, b: StateFacts): boolean => !differs(a.edits, b.edits);
  for (const state of was.states) {
    const other = now.states.find((one) => same(one, state));
    const words = other ? stateWords(state, other) : ['this list of edits is gone'];
    const shown =
      words.length > MOST + 1 ? [...words.slice(0, MOST), `and ${words.length - MOST} more differences`] : words;
    if (shown.length > 0) said.push(`${was.id}, ${place(state)}: ${shown.join(';\n    ')}`);
  }
  for (const state of now.states.filter((one) => !was.states.some((other) => same(one, other))))
    said.push(`${now.id}, ${place(state)}: this list of edits is new`);
  return said;
}

function place({ steps }: StateFacts): string {
  return steps.length === 0 ? 'first map' : `after '${steps.map(({ edit }) => edit).join("', '")}'`;
}

/** Says what differs between two lists of one part of a state. */
type Words<Part extends keyof StateFacts> = (was: StateFacts[Part], now: StateFacts[Part], states: Both) => string[];
interface Both {
  readonly was: StateFacts;
  readonly now: StateFacts;
}

const WORDS: { readonly [Part in Exclude<keyof StateFacts, 'edits'>]: Words<Part> } = {
  steps: (was, now) =>
    was.flatMap((step, i) => {
      const other = now[i];
      if (!other || !differs([step.outcome, step.inTheWay], [other.outcome, other.inTheWay])) return [];
      const outcome = (one: typeof step): string =>
        `${one.outcome}${one.inTheWay ? ` (in the way: ${one.inTheWay.join('; ') || 'nothing'})` : ''}`;
      return [`'${step.edit}' is ${outcome(other)} instead of ${outcome(step)}`];
    }),
  head: (was, now) => fieldWords(was, now, (name) => `the map's ${name}`),
  more: (was, now) => fieldWords(was, now, (name) => `the map's ${name}`),
  spans: spanWords,
  plan: (was, now) => {
    const text = ({ plan }: Pick<StateFacts, 'plan'>): string =>
      plan
        .map(
          (one) =>
            `${number(one.bpm)} bpm in bars of ${one.beats} (${one.meter}) from ${clock(one.from)} to ${clock(one.to)}`,
        )
        .join(', then ');
    const [before, after] = [text({ plan: was }), text({ plan: now })];
    return before === after
      ? fieldWords(was[0] ?? {}, now[0] ?? {}, (name) => `the plan's ${name}`)
      : [`it is counted ${after} instead of ${before}`];
  },
  doubts: doubtWords,
  sections: (was, now) => [
    ...paired(was, now, ({ start }) => start, {
      gone: ({ bar, letter, name }) => `no section begins with ${bar} any more (it was ${letter} ${name})`,
      fresh: ({ bar, letter, name }) => `a section begins with ${bar} (${letter} ${name})`,
      both: (a, b) => fieldWords(a, b, (name) => `the ${name} of the section that begins with ${b.bar}`),
    }),
  ],
  chords: chordWords,
  locks: (was, now) => [
    ...was
      .filter(({ says }) => !now.some((other) => other.says === says))
      .map(({ says }) => `no lock says "${says}" any more`),
    ...now.filter(({ says }) => !was.some((other) => other.says === says)).map(({ says }) => `a lock says "${says}"`),
    ...was.flatMap((lock, i) => {
      const other = now[i];
      return other?.says === lock.says
        ? fieldWords(lock, other, (name) => `the ${name} of the lock "${lock.says}"`)
        : [];
    }),
  ],
  passes: passWords,
};

/** Each part that differs says so, if need be only that it does. */
function stateWords(was: StateFacts, now: StateFacts): string[] {
  const both = { was, now };
  return (Object.keys(WORDS) as (keyof typeof WORDS)[]).flatMap((part) => {
    if (!differs(was[part], now[part])) return [];
    const words = (WORDS[part] as Words<typeof part>)(was[part] as never, now[part] as never, both);
    return words.length > 0 ? words : [`${part}: ${otherwise(was[part], now[part])}`];
  });
}

function levelWords({ levels: was }: SongFacts, { levels: now }: SongFacts): string[] {
  const name = ([bpm, beats, first]: (typeof was)[number]): string =>
    `${number(bpm)} bpm in bars of ${beats} from ${clock(first)} on`;
  const [a, b] = [was[0], now[0]];
  if (!a || !b) return [otherwise(was, now)];
  const scored = (level: typeof a | undefined): string => (level ? `${name(level)} (${number(level[3])})` : 'none');
  if (name(a) !== name(b)) return [`the likeliest way to count it is ${scored(b)} instead of ${scored(a)}`];
  const places = Array.from({ length: Math.max(was.length, now.length) }, (_, i) => i);
  const differing = places.filter((i) => differs(was[i], now[i]));
  const first = differing[0] ?? 0;
  return [
    `${differing.length} of the ${now.length} likeliest ways to count it differ, first the one in place ${first + 1}: ${scored(now[first])} instead of ${scored(was[first])}`,
  ];
}

function doubtWords(was: StateFacts['doubts'], now: StateFacts['doubts']): string[] {
  const key = ({ kind, text }: (typeof was)[number]): string => `${kind} ${text}`;
  const name = ({ bar, kind, text }: (typeof was)[number]): string => `doubt about ${bar} (${kind}: "${text}")`;
  const said = paired(
    was,
    now,
    ({ time }) => time,
    {
      gone: (doubt) => `the ${name(doubt)} is gone`,
      fresh: (doubt) => `there is now a ${name(doubt)}`,
      both: (a, b) =>
        differs(a.weight, b.weight)
          ? [`the ${name(b)} weighs ${number(b.weight)} instead of ${number(a.weight)}`]
          : differs(a, b)
            ? [`the ${name(b)} has changed: ${otherwise(a, b)}`]
            : [],
    },
    key,
  );
  return said.length > 0 ? said : ['the doubts are in another order'];
}

function chordWords(was: readonly ChordFact[], now: readonly ChordFact[], { was: state, now: after }: Both): string[] {
  const where = (time: number, { spans }: StateFacts): string => {
    const bar = spans.filter(({ start }) => start <= time + 1e-6).at(-1)?.span;
    return `at ${clock(time)}${bar ? ` (${bar})` : ''}`;
  };
  let surer = 0;
  const said: string[] = [];
  const lost: ChordFact[] = [];
  const fresh: ChordFact[] = [];
  pairs(was, now, ([time]) => time).forEach(([a, b]) => {
    if (!a && b) fresh.push(b);
    if (a && !b) lost.push(a);
    if (!a || !b || !differs(a, b)) return;
    if (a[1] !== b[1] || a[2] !== b[2])
      said.push(`the chord ${where(b[0], after)} is ${b[1]} (${b[2]}) instead of ${a[1]} (${a[2]})`);
    else surer++;
  });
  return [
    ...several(said, (one) => one, `of ${now.length} chords are different`),
    ...several(
      lost,
      ([time, harte]) => `no chord begins ${where(time, state)} any more (it was ${harte})`,
      `of ${was.length} chords are gone`,
    ),
    ...several(
      fresh,
      ([time, harte]) => `a chord begins ${where(time, after)}: ${harte}`,
      `of ${now.length} chords are new`,
    ),
    ...(surer > 0 ? [`${surer} chords have another confidence or moved by less than 70 ms`] : []),
  ];
}

function passWords(was: StateFacts['passes'], now: StateFacts['passes']): string[] {
  return [...new Set([...was, ...now].map(({ letter }) => letter))].flatMap((letter) => {
    const [a, b] = [was, now].map((tables) => tables.find((table) => table.letter === letter));
    if (!a || !b) return [`${letter} ${b ? 'is compared pass by pass' : 'is no longer compared pass by pass'}`];
    const bars = (table: typeof a): string =>
      table.passes
        .map(([first, last, shift]) => `${first} to ${last}${shift ? ` (${shift} semitones)` : ''}`)
        .join(', ');
    const only = (some: typeof a, other: typeof a): string[] =>
      some.differences
        .map(({ words }) => words)
        .filter((words) => !other.differences.some((one) => one.words === words));
    const said = [
      ...(bars(a) === bars(b) ? [] : [`the passes of ${letter} are ${bars(b)} instead of ${bars(a)}`]),
      ...only(a, b).map((words) => `of ${letter} it is no longer said: ${words}`),
      ...only(b, a).map((words) => `of ${letter} it is said: ${words}`),
    ];
    if (said.length > 0) return said;
    if (differs(a.columns, b.columns))
      return [`the passes of ${letter} are aligned differently: ${otherwise(a.columns, b.columns)}`];
    return differs(a, b) ? [`the passes of ${letter}: ${otherwise(a, b)}`] : [];
  });
}

function fieldWords(was: object, now: object, name: (field: string) => string): string[] {
  const [a, b] = [was, now] as [Readonly<Record<string, unknown>>, Readonly<Record<string, unknown>>];
  return [...new Set([...Object.keys(a), ...Object.keys(b)])].flatMap((field) =>
    differs(a[field], b[field])
      ? [`${name(field)} is ${JSON.stringify(b[field])} instead of ${JSON.stringify(a[field])}`]
      : [],
  );
}

interface PairWords<T> {
  gone(one: T): string;
  fresh(one: T): string;
  both(a: T, b: T): readonly string[];
}

function paired<T>(
  was: readonly T[],
  now: readonly T[],
  time: (one: T) => number,
  words: PairWords<T>,
  key?: (one: T) => string,
): string[] {
  return pairs(was, now, time, key).flatMap(([a, b]) =>
    a && b ? [...words.both(a, b)] : a ? [words.gone(a)] : b ? [words.fresh(b)] : [],
  );
}
