import { bassLine, drums, farewell, pad, sing, strum, travis, waltzPluck, waltzRoll } from './hands.mjs';
import { part } from './midi.mjs';
import { randomFrom } from './random.mjs';
import { placeOnClock } from './score.mjs';
import { strings } from './strings.mjs';

const GUITAR_STYLES = { strum, travis, roll: waltzRoll, pluck: waltzPluck };
const DRUM_CHANNEL = 9;

/** Plays the song: {clock, events} with the MIDI events of all parts. */
export function perform(song) {
  const random = randomFrom(song.seed);
  const clock = placeOnClock({ ...song, random });
  const parts = {};
  let channel = 0;
  for (const [name, sound] of Object.entries(song.band)) {
    if (channel === DRUM_CHANNEL) channel++;
    parts[name] = part(name === 'drums' ? DRUM_CHANNEL : channel++, { ...sound, cents: song.cents });
  }
  const guitar = strings(parts.guitar);
  const ukulele = parts.ukulele && strings(parts.ukulele, { ring: 1.2 });
  const voices = [undefined, undefined, undefined].slice(0, song.band.drums ? 3 : 1);
  for (const [i, bar] of clock.bars.entries()) {
    const at = (place) => clock.timeAt(bar.first + swung(place, song.swing));
    const { section } = bar;
    if (bar.pickup) {
      sing(parts[section.lead], bar, at, random, { loud: section.loud });
      continue;
    }
    const along = bar.number / section.bars.length;
    const loud = section.loud + (section.rises ?? 0) * along;
    const next = clock.bars[i + 1]?.chords[0]?.name;
    const closing = section.farewell && bar.last;
    if (closing) {
      farewell(guitar, bar, at, random, { loud });
      parts.bass.note(at(0), 3, 28 + ((song.scale[0] - 4 + 12) % 12), 0.8 * loud);
      continue;
    }
    GUITAR_STYLES[section.guitar](guitar, bar, at, random, { loud });
    if (section.ukulele) strum(ukulele, bar, at, random, { loud: loud * 0.85, instrument: 'ukulele' });
    if (section.bass || bar.number >= section.bassFrom) {
      bassLine(parts.bass, bar, at, random, { loud, next, scale: song.scale, waltz: !song.band.drums });
    }
    if (section.drums && bar.number < (section.drumsUntil ?? Infinity)) {
      const fill = section.fill && bar.last;
      drums(parts.drums, bar, at, random, { style: section.drums, loud, fill, opens: bar.number === 0 });
    }
    if (section.lead) sing(parts[section.lead], bar, at, random, { loud: 0.1 + 0.9 * loud });
    if (section.harmony) sing(parts.harmony, bar, at, random, { loud: 0.72 * loud, below: true });
    const held = section.pad ?? section.cello;
    if (held) pad(parts.pad, bar, at, random, { loud: held, voices, center: song.band.drums ? 62 : 53 });
  }
  guitar.finish();
  ukulele?.finish();
  return { clock, events: Object.values(parts).flatMap((one) => one.finish()) };
}

/** Eighths between the beats come a little late. */
function swung(place, swing) {
  const beat = Math.floor(place + 1e-9);
  const inside = place - beat;
  return beat + (inside <= 0.5 ? inside * 2 * swing : swing + (inside - 0.5) * 2 * (1 - swing));
}
