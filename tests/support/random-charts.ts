/**
 * Written charts as a player would write them, at random, in the notation of chart-notation.ts: sections with repeats,
 * endings, vamps played so many times, and in some a D.C. or D.S. The folds are only such as save something.
 */
export type Random = () => number;

/** Numbers from 0 to 1 from a seed (mulberry32 by T. Ettinger, public domain). */
export function seeded(seed: number): Random {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const CHORDS = ['C', 'G', 'F', 'A:min', 'E:min', 'D:min', 'D:7', 'G:7', 'C:maj/3', 'B:hdim7'];
const NAMES = ['Intro', 'Verse', 'Chorus', 'Bridge', 'Solo', 'Interlude', 'Tag', 'Outro', 'Middle', 'Break'];

export function randomChart(random: Random): string {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T;
  const palette = Array.from({ length: 3 + Math.floor(random() * 6) }, () => pick(CHORDS));
  const usual = pick(['4', '4', '4', '3', '6/8']);
  const bar = (): string => {
    const length = random() < 0.06 ? pick(['2', '3', '5', '6']) : usual;
    const second = random() < 0.2 ? `,${pick(palette)}@2` : '';
    return `${length}:${pick(palette)}${second}`;
  };
  const line = (least: number, most: number): string[] =>
    Array.from({ length: least + Math.floor(random() * (most - least + 1)) }, bar);
  const names = [...NAMES].sort(() => random() - 0.5);
  let named = 0;
  const name = (): string => names[named++ % names.length] as string;

  /** A section that begins with the first of so many passes, and when a jump comes back to it. */
  const once = (own: string, passes: number, again: boolean): string => `${own}@1${again ? `,${passes + 1}` : ''}`;

  /** A section or two in a row, perhaps repeated as a whole or in part. */
  const group = (again = false): string => {
    const kind = random();
    const own = name();
    if (kind < 0.3) return `${own}: ${line(2, 12).join(' ')}`;
    if (kind < 0.5) {
      const times = pick([2, 2, 2, 3, 4]);
      const next = random() < 0.4 ? `${name()}: ${line(2, 8).join(' ')}` : '';
      return `${own}: |: ${line(3, 12).join(' ')} ${next} ${close(times)}`;
    }
    if (kind < 0.75) {
      const body = line(4, 10).join(' ');
      const endings =
        random() < 0.7
          ? ['1', '2']
          : pick([
              ['1,2', '3'],
              ['1', '2', '3'],
              ['1', '2,3'],
              ['1,3', '2,4'],
            ]);
      const times = endings.join().split(',').length;
      const brackets = endings.map((passes, i) => {
        const over = i === endings.length - 1 && !passes.includes(',');
        return `[${passes} ${line(1, 3).join(' ')} ${over ? ']' : close(times)}`;
      });
      // Of one long section, or of sections of their own.
      return `${random() < 0.5 ? once(own, times, again) : own}: |: ${body} ${brackets.join(' ')}`;
    }
    const vamp = pick([
      [1, 6],
      [2, 4],
      [4, 2],
      [4, 3],
    ] as const);
    const before = random() < 0.5 ? line(2, 6).join(' ') : '';
    const after = random() < 0.5 ? line(1, 6).join(' ') : '';
    const inside = `|: ${line(vamp[0], vamp[0]).join(' ')} ${close(vamp[1])}`;
    return before ? `${own}: ${before} ${inside} ${after}` : `${once(own, vamp[1], again)}: ${inside} ${after}`;
  };
  const groups = (least: number, most: number, again = false): string =>
    Array.from({ length: least + Math.floor(random() * (most - least + 1)) }, () => group(again)).join(' | ');

  const pickup = random() < 0.2 ? `${name()}: (1) ` : '';
  const jump = random();
  if (jump < 0.4) return `${pickup}${groups(2, 6)}`;
  const between = `${name()}: ${line(2, 8).join(' ')}`;
  const withCoda = random() < 0.6;
  const mark = withCoda ? 'coda' : 'fine';
  const until = withCoda ? '>coda' : 'fine';
  const coda = withCoda ? `(o) ${name()}: ${line(1, 6).join(' ')}` : '';
  if (jump < 0.5) {
    // Back into what was repeated: verse and refrain twice, then something else and the refrain.
    const times = pick([2, 2, 3]);
    const refrain = `${name()}: $ ${line(9, 12).join(' ')}`;
    return `${pickup}${groups(1, 1)} ${name()}: |: ${line(3, 8).join(' ')} ${refrain} ${close(times)} ${until} ${between} D.S.${mark} ${coda}`;
  }
  const again = `${name()}: ${line(8, 12).join(' ')} ${random() < 0.5 ? groups(1, 2, true) : ''}`;
  const withRepeats = again.includes(':|') && random() < 0.25 ? '+' : '';
  const toStart = jump < 0.7;
  const intro = toStart ? '' : `${pickup}${groups(1, 2)} $`;
  return `${intro} ${again} ${until} ${between} ${toStart ? 'D.C.' : 'D.S.'}${mark}${withRepeats} ${coda}`;
}

function close(times: number): string {
  return times === 2 ? ':|' : `:|${times}`;
}
