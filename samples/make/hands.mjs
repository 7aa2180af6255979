// What each player does with a bar. `bar`: from placeOnClock; `at(beat)`: seconds of a place in the bar, swung.
import { bassClass, guitarStrings, rootClass, toneClasses, ukuleleStrings } from './chords.mjs';
import { pitchNumber } from './score.mjs';
import { stroke } from './strings.mjs';

/** The chord at a place in the bar. */
export function chordAt(bar, beat) {
  return bar.chords.findLast((chord) => chord.at <= beat + 1e-6) ?? bar.chords[0];
}

/** Which beat of the usual bar this one is played as: the last beat of a short bar still leads on, a long bar dwells on its second half. */
function role(bar, beat, usual) {
  if (beat === 0) return 0;
  if (bar.beats < usual && beat === bar.beats - 1) return usual - 1;
  return beat < usual ? beat : 1 + ((beat - 1) % (usual - 1));
}

const STRUM = [
  [[0, true, 1]],
  [
    [0, true, 0.82],
    [0.5, false, 0.5],
  ],
  [
    [0, true, 0.6],
    [0.5, false, 0.6],
  ],
  [
    [0, true, 0.84],
    [0.5, false, 0.52],
  ],
];

/** Down on the beats, up between them, the third beat often left out. */
export function strum(hand, bar, at, random, { loud, instrument = 'guitar', sway = 0.005 }) {
  const shape = instrument === 'guitar' ? guitarStrings : ukuleleStrings;
  for (let beat = 0; beat < bar.beats; beat++) {
    const cell = role(bar, beat, 4);
    for (const [offset, down, weight] of STRUM[cell]) {
      const place = beat + offset;
      const name = chordAt(bar, place).name;
      const changes = bar.chords.some((chord) => Math.abs(chord.at - place) < 1e-6);
      if (cell === 2 && down && !changes && random.chance(0.35)) continue;
      if (!down && random.chance(0.12)) continue;
      if (changes) hand.damp(at(place) - 0.035);
      stroke(hand, random, {
        time: at(place) + sway * random.normal(),
        pitches: shape(name),
        down,
        velocity: (changes && down ? Math.max(weight, 0.92) : weight) * loud * random.between(0.92, 1.04),
        spread: (down ? 0.017 : 0.012) * (instrument === 'guitar' ? 1 : 0.8),
      });
    }
  }
}

/** Alternating thumb, fingers between the beats. */
export function travis(hand, bar, at, random, { loud, sway = 0.005 }) {
  for (let beat = 0; beat < bar.beats; beat++) {
    const cell = role(bar, beat, 4);
    const { name, at: from } = chordAt(bar, beat);
    const pitches = guitarStrings(name);
    const [top, n] = [pitches.length - 1, 6 - pitches.length];
    const pluck = (offset, string, weight) =>
      hand.pluck(
        at(beat + offset) + sway * random.normal(),
        string + n,
        pitches[string],
        weight * loud * random.between(0.9, 1.05),
      );
    const changes = Math.abs(from - beat) < 1e-6;
    if (changes) hand.damp(at(beat) - 0.03);
    const bass = changes || cell === 0 ? 0 : cell % 2 ? Math.min(2, top - 2) : 1;
    pluck(0, bass, changes || cell === 0 ? 1 : 0.8);
    if (changes || (cell === 2 && random.chance(0.4))) pluck(0, top, 0.72);
    pluck(0.5, cell % 2 ? top - 1 : top - 2, 0.66);
    if (cell === 3 && random.chance(0.35)) pluck(0.5, top, 0.55);
  }
}

/** Thumb on one, then the fingers up and down in eighths. */
export function waltzRoll(hand, bar, at, random, { loud, sway = 0.005 }) {
  const order = [
    [0, -3],
    [-2, -1],
    [-2, -3],
  ];
  for (let beat = 0; beat < bar.beats; beat++) {
    const cell = role(bar, beat, 3);
    const { name, at: from } = chordAt(bar, beat);
    const pitches = guitarStrings(name);
    const changes = Math.abs(from - beat) < 1e-6;
    if (changes) hand.damp(at(beat) - 0.03);
    for (const [half, string] of order[cell].entries()) {
      const index = beat === 0 || string !== 0 ? (string + pitches.length) % pitches.length : 1;
      const weight = beat === 0 && half === 0 ? 1 : half === 0 ? 0.74 : 0.6;
      const time = at(beat + half / 2) + sway * random.normal();
      hand.pluck(time, index + 6 - pitches.length, pitches[index], weight * loud * random.between(0.9, 1.06));
      if (beat === 0 && half === 0) hand.pluck(time + 0.004, 5, pitches.at(-1), 0.62 * loud);
    }
  }
}

/** Bass on one, the upper strings together on the other beats. */
export function waltzPluck(hand, bar, at, random, { loud, sway = 0.005 }) {
  for (let beat = 0; beat < bar.beats; beat++) {
    const pitches = guitarStrings(chordAt(bar, beat).name);
    const n = 6 - pitches.length;
    const time = at(beat) + sway * random.normal();
    if (beat === 0) {
      hand.damp(time - 0.03);
      hand.pluck(time, n, pitches[0], loud * random.between(0.95, 1.05));
      continue;
    }
    for (let i = 1; i <= 3; i++) {
      const string = pitches.length - i;
      hand.pluck(
        time + 0.004 * (3 - i),
        string + n,
        pitches[string],
        (beat === 1 ? 0.78 : 0.68) * loud * random.between(0.94, 1.05),
      );
    }
    if (beat === bar.beats - 1 && random.chance(0.45)) {
      hand.pluck(at(beat + 0.5), pitches.length - 2 + n, pitches.at(-2), 0.5 * loud);
    }
  }
}

/** One soft note a beat, for the last bar. */
export function farewell(hand, bar, at, random, { loud }) {
  for (let beat = 0; beat < bar.beats; beat++) {
    const pitches = guitarStrings(chordAt(bar, beat).name);
    const string = beat === 0 ? 0 : Math.min(pitches.length - 1, beat + 1);
    hand.pluck(at(beat), string + 6 - pitches.length, pitches[string], loud * (beat === 0 ? 1 : 0.8));
    if (beat === bar.beats - 1) hand.pluck(at(beat) + 0.01, 5, pitches.at(-1), loud * 0.7);
    else if (beat === 0)
      stroke(hand, random, { time: at(0) + 0.006, pitches, down: true, velocity: loud * 0.9, spread: 0.04 });
  }
}

const bassPitch = (pitchClass) => 28 + ((pitchClass - 4 + 12) % 12);

/** Roots, fifths, and a step into the next chord. `next`: the chord after this bar; `scale`: pitch classes of the key. */
export function bassLine(part, bar, at, random, { loud, next, scale, waltz = false, sway = 0.004 }) {
  const put = (beat, length, pitch, weight) => {
    const time = at(beat) + 0.001 + sway * random.normal();
    part.note(time, at(beat + length) - at(beat) - 0.03, pitch, weight * loud * random.between(0.94, 1.05));
  };
  for (const [i, chord] of bar.chords.entries()) {
    const root = bassPitch(bassClass(chord.name));
    const fifth = [...toneClasses(chord.name)].includes((rootClass(chord.name) + 7) % 12)
      ? rootClass(chord.name) + 7
      : rootClass(chord.name);
    let other = bassPitch(fifth % 12);
    if (Math.abs(other - root) > 7) other += other > root ? -12 : 12;
    if (other < 28) other += 12;
    const follows = bar.chords[i + 1]?.name ?? next;
    const goal = follows === undefined ? root : bassPitch(bassClass(follows));
    let step = goal > root ? goal - 1 : goal + 1;
    while (!scale.includes(((step % 12) + 12) % 12)) step += goal > root ? -1 : 1;
    const leads = goal !== root && Math.abs(step - root) <= 9 && random.chance(0.6);
    if (waltz) {
      put(chord.at, leads && chord.length >= 3 ? chord.length - 1 : 0.8 * chord.length, root, 1);
      if (leads && chord.length >= 3) put(chord.at + chord.length - 1, 1, step, 0.75);
      continue;
    }
    if (chord.length < 2) {
      put(chord.at, chord.length, root, 1);
      continue;
    }
    put(chord.at, 1.4, root, 1);
    put(chord.at + 1.5, 0.5, root, 0.72);
    let beat = chord.at + 2;
    const end = chord.at + chord.length;
    for (let k = 0; beat < end - 1e-6; k++, beat += 1) {
      const lastBeat = beat + 1 >= end - 1e-6;
      if (lastBeat && leads) {
        put(beat, 0.5, k % 2 ? root : other, 0.82);
        put(beat + 0.5, 0.5, step, 0.78);
      } else put(beat, 1, k % 2 ? root : other, k % 2 ? 0.8 : 0.9);
    }
  }
}

// General MIDI key, and the seconds that it takes to speak.
const DRUM = {
  kick: [36, 0.005],
  stick: [37, 0.0045],
  snare: [38, 0.0045],
  hat: [42, 0.002],
  open: [46, 0.002],
  crash: [49, 0.003],
  tambourine: [54, 0.003],
  low: [45, 0.005],
  mid: [47, 0.005],
  shaker: [82, 0.026],
};

/** Styles: 'shaker', 'soft' (rim and closed hat), 'full'. `fill`: the last beat or two of the bar lead into the next section. */
export function drums(part, bar, at, random, { style, loud, fill = false, opens = false, sway = 0.003 }) {
  const hit = (beat, drum, weight) =>
    part.note(
      at(beat) - DRUM[drum][1] + sway * random.normal(),
      0.2,
      DRUM[drum][0],
      weight * loud * random.between(0.92, 1.05),
    );
  const fillFrom = fill ? bar.beats - (bar.beats > 4 ? 2 : 1) : bar.beats;
  if (opens && style === 'full') hit(0, 'crash', 0.62);
  for (let beat = 0; beat < bar.beats; beat++) {
    const cell = role(bar, beat, 4);
    const strong = cell % 2 === 1;
    if (style === 'shaker') {
      hit(beat, 'shaker', strong ? 0.8 : 0.55);
      hit(beat + 0.5, 'shaker', 0.42);
      continue;
    }
    if (beat >= fillFrom) {
      const drum = beat === bar.beats - 1 ? 'low' : 'mid';
      for (const [i, offset] of [0, 0.5, 0.75].entries())
        hit(beat + offset, i === 2 ? drum : 'snare', 0.5 + 0.1 * i + 0.12 * (beat - fillFrom));
      if (cell === 0 || !strong) hit(beat, 'kick', 0.6);
      continue;
    }
    hit(beat, 'hat', strong ? 0.5 : 0.58);
    hit(beat + 0.5, random.chance(0.06) ? 'open' : 'hat', 0.36);
    if (strong) {
      hit(beat, style === 'soft' ? 'stick' : 'snare', style === 'soft' ? 0.62 : 0.72);
      if (style === 'full') hit(beat, 'tambourine', 0.45);
    } else {
      hit(beat, 'kick', cell === 0 ? 0.88 : 0.74);
      if (cell === 2 && random.chance(style === 'full' ? 0.5 : 0.25)) hit(beat + 0.5, 'kick', 0.55);
    }
  }
}

/**
 * The tune on a wind or a bowed instrument: joined notes, a swell and some vibrato on long ones, breaths before rests.
 * `transpose` in semitones; `below`: play the nearest chord tone at least a minor third under each note instead.
 */
export function sing(part, bar, at, random, { loud, transpose = 0, below = false, early = 0, sway = 0.005 }) {
  for (const { name, at: beat, length } of bar.tune) {
    let pitch = pitchNumber(name) + transpose;
    if (below) {
      const tones = toneClasses(chordAt(bar, beat).name);
      pitch -= 3;
      while (!tones.has(pitch % 12)) pitch -= 1;
    }
    const time = at(beat) - early + sway * random.normal();
    const seconds = at(beat + length) - at(beat);
    const accent = beat === 0 ? 1 : Number.isInteger(beat) ? 0.93 : 0.86;
    part.note(time, seconds * (length >= 2 ? 0.9 : 0.985), pitch, accent * loud * random.between(0.93, 1.05));
    part.control(time - 0.06, 11, 104);
    part.control(time - 0.06, 1, 0);
    if (seconds > 0.6) {
      for (let i = 1; i <= 8; i++) {
        const part8 = i / 8;
        part.control(time + seconds * 0.9 * part8, 11, 104 + 20 * Math.sin(Math.PI * Math.min(1, part8 * 0.9)));
        part.control(time + seconds * 0.9 * part8, 1, 34 * Math.max(0, part8 - 0.3));
      }
    }
  }
}

/** Held chords in three voices, each going to the nearest tone. `voices` is carried from bar to bar. */
export function pad(part, bar, at, random, { loud, voices, center = 62 }) {
  for (const { name, at: beat, length } of bar.chords) {
    const tones = [...toneClasses(name)];
    const taken = new Set();
    for (let v = 0; v < voices.length; v++) {
      const from = voices[v] ?? center + (v - 1) * 5;
      let best = from;
      let cost = Infinity;
      for (let pitch = center - 9; pitch <= center + 11; pitch++) {
        const c =
          Math.abs(pitch - from) + (taken.has(pitch % 12) ? 6 : 0) + 0.08 * Math.abs(pitch - center - (v - 1) * 5);
        if (tones.includes(pitch % 12) && !taken.has(pitch) && c < cost) [best, cost] = [pitch, c];
      }
      voices[v] = best;
      taken.add(best).add(best % 12);
      part.note(at(beat) - 0.03, at(beat + length) - at(beat) + 0.02, best, loud * random.between(0.95, 1.02));
    }
  }
}
