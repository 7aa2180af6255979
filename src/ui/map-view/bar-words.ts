import type { BarBox } from './boxes.js';
import { beatsText } from './bar-scale.js';
import { beatsOf } from '../../music/meter.js';

/** A bar in words, for its cell: "bar 37, 2 beats, irregular, G, locked". */
export function barWords(box: BarBox): string {
  const beats = beatsOf(box.meter);
  return [
    box.pickup ? 'pickup' : `bar ${box.number}`,
    // Where the beat itself is another, its signature says more than a count.
    box.notch?.includes('/') ? box.notch : `${beatsText(beats)} ${beats === 1 ? 'beat' : 'beats'}`,
    box.sign === undefined ? '' : `time signature ${box.sign}`,
    box.irregular ? 'irregular' : '',
    chordWords(box),
    box.sure ? '' : 'doubtful',
    box.pins.pins.length > 0 || box.pins.rail ? 'locked' : '',
  ]
    .filter((part) => part !== '')
    .join(', ');
}

function chordWords(box: BarBox): string {
  const chords = box.chords.map(({ text, beat, x, unread }) => {
    const name = unread ? `“${text}”, which cannot be read as a chord,` : text;
    return x === 0 ? name.replace(/,$/, '') : `${name} on beat ${beat + 1}`;
  });
  if (box.held !== undefined) chords.unshift(box.held);
  return chords.map((text) => text.replace(/♯/g, ' sharp ').replace(/♭/g, ' flat ').trim()).join(', ');
}
