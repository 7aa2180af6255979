// Standard MIDI File 1.0, format 0. The tempo is fixed and has nothing to do with the song's: 5000 ticks a quarter
// at 120 quarters a minute make a tick a tenth of a millisecond.
const TICKS = 5000;
const TICKS_A_SECOND = 10000;

/**
 * `events`: {time, bytes} with time in seconds, in any order; at equal times note-offs go first. Returns a Buffer.
 */
export function midiFile(events) {
  const rank = ({ bytes }) => ((bytes[0] & 0xf0) === 0x80 ? 0 : (bytes[0] & 0xf0) === 0x90 ? 2 : 1);
  const sorted = events
    .map((event) => ({ ...event, tick: Math.max(0, Math.round(event.time * TICKS_A_SECOND)) }))
    .sort((a, b) => a.tick - b.tick || rank(a) - rank(b));
  const track = [0, 0xff, 0x51, 3, 0x07, 0xa1, 0x20];
  let last = 0;
  for (const { tick, bytes } of sorted) {
    track.push(...variableLength(tick - last), ...bytes);
    last = tick;
  }
  track.push(0, 0xff, 0x2f, 0);
  const head = Buffer.alloc(14);
  head.write('MThd', 0);
  head.writeUInt32BE(6, 4);
  head.writeUInt16BE(0, 8);
  head.writeUInt16BE(1, 10);
  head.writeUInt16BE(TICKS, 12);
  const trackHead = Buffer.alloc(8);
  trackHead.write('MTrk', 0);
  trackHead.writeUInt32BE(track.length, 4);
  return Buffer.concat([head, trackHead, Buffer.from(track)]);
}

function variableLength(value) {
  const bytes = [value & 0x7f];
  while ((value >>= 7) > 0) bytes.unshift((value & 0x7f) | 0x80);
  return bytes;
}

/**
 * A part on one MIDI channel, collecting events. A pitch that still sounds is ended before it is struck again.
 * `bank`, `program`: General MIDI numbers from 0; `volume`, `pan`, `reverb`: 0 to 127; `cents`: fine tuning; `speaks`: seconds
 * from a note's start to its sound (measured on the sound font), by which it is played ahead, as a player does.
 */
export function part(channel, { bank = 0, program, volume, pan = 64, reverb = 40, cents = 0, speaks = 0 }) {
  const events = [];
  const notes = [];
  const control = (time, number, value) =>
    events.push({ time, bytes: [0xb0 | channel, number, Math.max(0, Math.min(127, Math.round(value)))] });
  control(0, 0, bank);
  events.push({ time: 0.001, bytes: [0xc0 | channel, program] });
  for (const [number, value] of [
    [7, volume],
    [10, pan],
    [91, reverb],
    [11, 127],
  ])
    control(0.002, number, value);
  // Registered parameter 1: fine tuning, 14 bits, 8192 steps to the semitone; fluidsynth acts on the coarse byte, so that goes last.
  const fine = 8192 + Math.round((cents / 100) * 8192);
  [
    [101, 0],
    [100, 1],
    [38, fine & 127],
    [6, fine >> 7],
  ].forEach(([number, value], i) => control(0.003 + i * 0.0002, number, value));
  return {
    control,
    /** `velocity` 0 to 1. */
    note(time, length, pitch, velocity) {
      notes.push({ time: time - speaks, end: time - speaks + Math.max(0.03, length), pitch, velocity });
    },
    finish() {
      const open = new Map();
      for (const note of [...notes].sort((a, b) => a.time - b.time)) {
        const before = open.get(note.pitch);
        if (before && before.end > note.time - 0.002) before.end = Math.max(before.time + 0.004, note.time - 0.002);
        open.set(note.pitch, note);
      }
      for (const { time, end, pitch, velocity } of notes) {
        const strength = Math.max(1, Math.min(127, Math.round(velocity * 127)));
        events.push({ time, bytes: [0x90 | channel, pitch, strength] });
        events.push({ time: end, bytes: [0x80 | channel, pitch, 0] });
      }
      return events;
    },
  };
}
