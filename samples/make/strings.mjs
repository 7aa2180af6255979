/**
 * Plucked strings on a MIDI part: a string rings until it is plucked again or damped.
 * `pluck` and `damp` may come in any order; `finish` writes the notes.
 */
export function strings(part, { ring = 3.5 } = {}) {
  const plucks = [];
  const damps = [];
  return {
    pluck: (time, string, pitch, velocity) => plucks.push({ time, string, pitch, velocity }),
    damp: (time) => damps.push(time),
    finish() {
      damps.sort((a, b) => a - b);
      plucks.sort((a, b) => a.time - b.time);
      for (const [i, { time, string, pitch, velocity }] of plucks.entries()) {
        const again = plucks.find((next, j) => j > i && next.string === string)?.time ?? Infinity;
        const damped = damps.find((at) => at > time + 0.05) ?? Infinity;
        part.note(time, Math.min(again - 0.004, damped, time + ring) - time, pitch, velocity);
      }
    },
  };
}

/** A stroke over all `pitches`, low string first (`down`) or the upper ones, high string first. `first`: number of the lowest string. */
export function stroke(hand, random, { time, pitches, down, velocity, spread }) {
  const count = down ? pitches.length : Math.min(pitches.length, 3 + (random.chance(0.4) ? 1 : 0));
  const width = spread * random.between(0.8, 1.25);
  for (let i = 0; i < count; i++) {
    const string = down ? i + (pitches.length - count) : pitches.length - 1 - i;
    const along = count > 1 ? i / (count - 1) : 0;
    const weight = down ? 1 - 0.12 * along : 1 - 0.25 * along;
    const at = time + (along - 0.4) * width;
    hand.pluck(at, string + 6 - pitches.length, pitches[string], velocity * weight * random.between(0.93, 1.06));
  }
}
