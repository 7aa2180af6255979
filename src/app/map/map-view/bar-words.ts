import { msg, str } from '@lit/localize';
import type { BarBox } from './boxes.js';
import { lengthText } from './bar-scale.js';
import { beatsOf } from '../../../music/meter.js';

/** A bar in words, for its cell: "bar 37, 2 beats, irregular, G, locked". */
export function barWords(box: BarBox): string {
  return [
    box.pickup ? msg('pickup') : msg(str`bar ${box.number}`),
    // Where the beat itself is another, its signature says more than a count.
    box.notch?.includes('/') ? box.notch : lengthText(beatsOf(box.meter)),
    box.sign === undefined ? '' : msg(str`time signature ${box.sign}`),
    box.irregular ? msg('irregular') : '',
    chordWords(box),
    box.sure ? '' : msg('doubtful'),
    box.pins.pins.length > 0 || box.pins.rail ? msg('locked') : '',
  ]
    .filter((part) => part !== '')
    .join(', ');
}

function chordWords(box: BarBox): string {
  const chords = box.chords.map(({ text, beat, x, unread }) => {
    if (x === 0) return unread ? msg(str`“${text}”, which cannot be read as a chord`) : text;
    return unread
      ? msg(str`“${text}”, which cannot be read as a chord, on beat ${beat + 1}`)
      : msg(str`${text} on beat ${beat + 1}`);
  });
  if (box.held !== undefined) chords.unshift(box.held);
  const [sharp, flat] = [msg('sharp'), msg('flat')];
  return chords.map((text) => text.replace(/♯/g, ` ${sharp} `).replace(/♭/g, ` ${flat} `).trim()).join(', ');
}
