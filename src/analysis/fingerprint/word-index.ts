/** Where each word of a fingerprint stands. */
export interface WordIndex {
  /** Calls `visit` with each place of `word`; not at all for silence and for words that stand in too many places. */
  places(word: number, visit: (place: number) => void): void;
}

/** A word in more places than this tells nothing. */
const MOST_PLACES = 64;

/** An index by hash chains: some hundred thousand words are put in order in a few milliseconds. */
export function wordIndex(words: Uint32Array): WordIndex {
  const size = 2 ** Math.ceil(Math.log2(Math.max(2, 2 * words.length)));
  const bits = 32 - Math.log2(size);
  const heads = new Int32Array(size).fill(-1);
  const next = new Int32Array(words.length).fill(-1);
  // Fibonacci hashing (Knuth, The Art of Computer Programming, volume 3, section 6.4).
  const hash = (word: number): number => Math.imul(word, 0x9e3779b1) >>> bits;
  for (let place = words.length - 1; place >= 0; place--) {
    const slot = hash(words[place] as number);
    next[place] = heads[slot] as number;
    heads[slot] = place;
  }
  const found: number[] = [];
  return {
    places(word, visit) {
      if (word === 0) return;
      found.length = 0;
      for (let place = heads[hash(word)] as number; place >= 0; place = next[place] as number) {
        if (words[place] === word && found.push(place) > MOST_PLACES) return;
      }
      found.forEach(visit);
    },
  };
}
