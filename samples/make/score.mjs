const LETTERS = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/** "F#4" -> 66. */
export function pitchNumber(name) {
  const match = /^([A-G])([#b]?)(\d)$/.exec(name);
  if (!match) throw new Error(`no such note: "${name}"`);
  return LETTERS[match[1]] + (match[2] === '#' ? 1 : match[2] === 'b' ? -1 : 0) + 12 * (Number(match[3]) + 1);
}

/**
 * A section from its text. Bars are parted by "|". `chords`: names, each with ":beats" or sharing the bar evenly;
 * `tune`: notes "A4:1.5" and rests "r:1", adding up to the bar. `lengths`: {barNumber: beats} for bars (from 1) that are not
 * `beats` long. Every sum is checked: a wrong one is a slip of the pen.
 */
export function section({ name, chords, tune, lengths = {}, beats, ...playing }) {
  const chordBars = chords.split('|').map((text) => text.trim().split(/\s+/));
  const tuneBars = tune.split('|').map((text) => text.trim().split(/\s+/));
  if (chordBars.length !== tuneBars.length) {
    throw new Error(`${name}: ${chordBars.length} bars of chords, ${tuneBars.length} of tune`);
  }
  const bars = chordBars.map((names, i) => {
    const length = lengths[i + 1] ?? beats;
    return {
      beats: length,
      chords: placed(names, length, `${name}, bar ${i + 1}, chords`),
      tune: placed(tuneBars[i], length, `${name}, bar ${i + 1}, tune`).filter((note) => note.name !== 'r'),
    };
  });
  return { name, bars, ...playing };
}

function placed(tokens, length, where) {
  const even = length / tokens.length;
  let at = 0;
  const out = tokens.map((token) => {
    const [name, beats] = token.split(':');
    const one = { name, at, length: beats === undefined ? even : Number(beats) };
    at += one.length;
    return one;
  });
  if (Math.abs(at - length) > 1e-9) throw new Error(`${where}: ${at} beats in a bar of ${length}`);
  return out;
}

/**
 * Places the sections on the clock as people would play them: each section leans toward its own tempo over two bars, the band
 * breathes (a smoothed random walk), and phrases ease at their ends where `ease` says so.
 *
 * `pickup`: beats before the first bar. Returns {beats: seconds of every beat, bars, sections, timeAt(beat)}; bars hold
 * `first`, the number of their first beat among all beats.
 */
export function placeOnClock({ sections, pickup, leadIn, breath, random }) {
  const bars = [];
  let beat = 0;
  if (pickup) {
    bars.push({ ...pickup, first: 0, section: sections[0], pickup: true });
    beat = pickup.beats;
  }
  const starts = [];
  for (const one of sections) {
    starts.push(bars.length);
    for (const [i, bar] of one.bars.entries()) {
      bars.push({ ...bar, first: beat, section: one, number: i, last: i === one.bars.length - 1 });
      beat += bar.beats;
    }
  }
  const wanted = new Float64Array(beat);
  for (const bar of bars) {
    for (let i = 0; i < bar.beats; i++) {
      const eased = bar.section.ease?.[(bar.number ?? -1) + 1] ?? 0;
      wanted[bar.first + i] = bar.section.tempo * (1 - (eased * (i + 1)) / bar.beats);
    }
  }
  let [walk, drift] = [0, 0];
  let time = leadIn;
  const beats = [];
  for (let i = 0; i <= beat; i++) {
    beats.push(time);
    const around = wanted.slice(Math.max(0, i - 3), Math.min(beat, i + 3));
    const tempo = around.reduce((sum, x) => sum + x, 0) / around.length;
    walk = 0.93 * walk + 0.37 * random.normal();
    drift += 0.35 * (walk - drift);
    time += 60 / (tempo * (1 + breath * drift));
  }
  const timeAt = (place) => {
    const i = Math.max(0, Math.min(beat - 1, Math.floor(place)));
    return beats[i] + (place - i) * (beats[i + 1] - beats[i]);
  };
  return { beats: beats.slice(0, beat), end: beats[beat], bars, starts, timeAt };
}
