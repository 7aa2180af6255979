import MIDIFile, { type ReadEvent } from 'midifile';

/** Meta and channel events by number. Source: Standard MIDI Files 1.0 and MIDI 1.0 (MIDI Manufacturers Association). */
export const META = { text: 0x01, name: 0x03, marker: 0x06, end: 0x2f, tempo: 0x51, time: 0x58, key: 0x59 } as const;
const NOTE = { off: 0x8, on: 0x9 } as const;
const IS_META = 0xff;

/** A note of a track, in seconds. */
export interface HeardNote {
  readonly note: number;
  readonly from: number;
  readonly to: number;
  readonly channel: number;
}

/** A MIDI file as an independent reader plays it. */
export interface ReadMidi {
  readonly format: number;
  readonly ticks: number;
  readonly tracks: readonly (readonly ReadEvent[])[];
  /** Seconds, of meta events of a kind on any track. */
  metas(
    kind: keyof typeof META,
  ): readonly { readonly time: number; readonly event: ReadEvent; readonly text: string }[];
  notes(track: number): readonly HeardNote[];
}

export function readMidiFile(bytes: Uint8Array): ReadMidi {
  const file = new MIDIFile(bytes, true);
  const events = file.getEvents();
  return {
    format: file.header.getFormat(),
    ticks: file.header.getTicksPerBeat(),
    tracks: Array.from({ length: file.header.getTracksCount() }, (_, i) => file.getTrackEvents(i)),
    metas: (kind) =>
      events
        .filter(({ type, subtype }) => type === IS_META && subtype === META[kind])
        .map((event) => ({
          time: seconds(event.playTime),
          event,
          text: new TextDecoder('utf-8', { fatal: true }).decode(Uint8Array.from(event.data ?? [])),
        })),
    notes: (track) => {
      const sounding = new Map<number, { from: number }>();
      const notes: HeardNote[] = [];
      for (const event of events) {
        if (event.track !== track || event.type === IS_META) continue;
        const note = event.param1 as number;
        if (event.subtype === NOTE.on && (event.param2 as number) > 0) {
          if (sounding.has(note)) throw new Error(`note ${note} begins twice at ${event.playTime} ms`);
          sounding.set(note, { from: seconds(event.playTime) });
        } else if (event.subtype === NOTE.off || event.subtype === NOTE.on) {
          const begun = sounding.get(note);
          if (!begun) throw new Error(`note ${note} ends unbegun at ${event.playTime} ms`);
          sounding.delete(note);
          notes.push({ note, from: begun.from, to: seconds(event.playTime), channel: event.channel ?? -1 });
        }
      }
      if (sounding.size > 0) throw new Error(`${sounding.size} notes never end`);
      return notes.sort((a, b) => a.from - b.from || a.note - b.note);
    },
  };
}

/** To the nanosecond: the reader adds up floating-point milliseconds. */
function seconds(milliseconds: number): number {
  return Math.round(milliseconds * 1e6) / 1e9;
}
