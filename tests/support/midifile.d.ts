// What the tests use of midifile (N. Froidure), which shares no code with what writes our files.
declare module 'midifile' {
  export interface ReadEvent {
    readonly delta: number;
    readonly type: number;
    readonly subtype: number;
    readonly channel?: number;
    readonly param1?: number;
    readonly param2?: number;
    readonly param3?: number;
    readonly param4?: number;
    readonly tempo?: number;
    readonly data?: readonly number[];
    readonly key?: number;
    readonly scale?: number;
    readonly track: number;
    /** Milliseconds. */
    readonly playTime: number;
  }
  export default class MIDIFile {
    constructor(bytes: Uint8Array, strict: boolean);
    readonly header: { getFormat(): number; getTicksPerBeat(): number; getTracksCount(): number };
    getEvents(): ReadEvent[];
    getTrackEvents(track: number): ReadEvent[];
  }
}
